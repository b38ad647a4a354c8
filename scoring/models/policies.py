"""Escalation policies as an organisation has them, and who is away when."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from yards.models import Owned


class EscalationPolicy(Owned):
    """The ladder of one severity; a severity without a row is climbed as by default.

    ``steps`` are [{"after_minutes", "roles", "people"}], as ``scoring.rules.policy_input`` says.
    """

    severity = models.CharField(max_length=8)
    steps = models.JSONField()
    repeat_minutes = models.PositiveIntegerField()
    reason = models.CharField(max_length=500)
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    set_at = models.DateTimeField()
    version = models.PositiveIntegerField()

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "severity"], name="scoring_escalationpolicy_one_a_severity"
            ),
            models.CheckConstraint(
                name="scoring_escalationpolicy_severity",
                condition=Q(severity__in=["watch", "act", "urgent"]),
            ),
            models.CheckConstraint(
                name="scoring_escalationpolicy_never_empty",
                condition=Q(severity="watch") | ~Q(steps=[]),
            ),
        ]

    def __str__(self) -> str:
        return self.severity


class Absence(Owned):
    """Somebody is away: while anybody else can be told, they are not."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    from_at = models.DateTimeField()
    until_at = models.DateTimeField()
    reason = models.CharField(max_length=300, blank=True)
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    set_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )

    class Meta(Owned.Meta):
        indexes = [
            models.Index(
                fields=["organisation", "until_at"],
                name="scoring_absence_until",
                condition=Q(ended_at__isnull=True),
            ),
            models.Index(fields=["organisation", "-id"], name="scoring_absence_newest"),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="scoring_absence_ends_after_it_begins",
                condition=Q(until_at__gt=F("from_at")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person_id} until {self.until_at:%Y-%m-%d}"
