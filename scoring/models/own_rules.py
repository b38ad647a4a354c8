"""Risk rules as an organisation has them, and the exceptions that it makes to them."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from scoring.rules import risk
from yards.models import Horse, Owned, Yard


class RuleSetting(Owned):
    """One rule as the organisation has it; a rule without a row is as the data has it.

    ``thresholds`` by "scale.measure", as text; those that are missing are the defaults.
    """

    rule = models.CharField(max_length=32)
    is_on = models.BooleanField(default=True)
    thresholds = models.JSONField(default=dict)
    reason = models.CharField(max_length=500)
    set_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    set_at = models.DateTimeField()
    version = models.PositiveIntegerField()

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "rule"], name="scoring_rulesetting_one_a_rule"
            ),
            models.CheckConstraint(
                name="scoring_rulesetting_protects_life",
                condition=Q(is_on=True) | ~Q(rule__in=sorted(risk.PROTECTS_LIFE)),
            ),
        ]

    def __str__(self) -> str:
        return self.rule


class RuleException(Owned):
    """A rule as it is for one yard or one horse, until an instant, for a reason.

    At most one of a rule and subject is not ended: another takes its place.
    """

    rule = models.CharField(max_length=32)
    yard = models.ForeignKey(
        Yard,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    horse = models.ForeignKey(
        Horse,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    is_on = models.BooleanField(default=True)
    thresholds = models.JSONField(default=dict)
    reason = models.CharField(max_length=500)
    given_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    given_at = models.DateTimeField()
    until_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    end_reason = models.CharField(max_length=500, blank=True)
    content_digest = models.BinaryField(max_length=32)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(
                fields=["organisation", "horse", "yard"],
                name="scoring_exception_of",
                condition=Q(ended_at__isnull=True),
            ),
            models.Index(fields=["organisation", "-id"], name="scoring_exception_newest"),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "rule", "horse"],
                condition=Q(ended_at__isnull=True, horse__isnull=False),
                name="scoring_exception_one_a_horse",
            ),
            models.UniqueConstraint(
                fields=["organisation", "rule", "yard"],
                condition=Q(ended_at__isnull=True, yard__isnull=False),
                name="scoring_exception_one_a_yard",
            ),
            models.CheckConstraint(
                name="scoring_exception_of_a_yard_or_a_horse",
                condition=Q(yard__isnull=True, horse__isnull=False)
                | Q(yard__isnull=False, horse__isnull=True),
            ),
            models.CheckConstraint(
                name="scoring_exception_protects_life",
                condition=Q(is_on=True) | ~Q(rule__in=sorted(risk.PROTECTS_LIFE)),
            ),
            models.CheckConstraint(
                name="scoring_exception_ends_after_it_begins",
                condition=Q(until_at__gt=F("given_at")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.rule} until {self.until_at:%Y-%m-%d}"
