"""Alerts: opened, acknowledged, resolved. One open alert a horse and rule."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from scoring.models.assessments import Assessment
from scoring.models.concerns import Concern
from yards.models import Horse, Owned, Yard
from yards.models.notes import NoteLine, NoteText


class Alert(Owned):
    """One episode of one rule on one horse. Texts are message keys with parameters."""

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    yard = models.ForeignKey(
        Yard, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    rule = models.CharField(max_length=32)
    severity = models.CharField(max_length=8)
    state = models.CharField(max_length=12)
    opened_at = models.DateTimeField()
    seen_at = models.DateTimeField()
    # Since when the organisation's own setting no longer asks for it: it stands until a reading
    # clears it or a person resolves it.
    unasked_since = models.DateTimeField(null=True)
    # {"reason": [key, params], "evidence": ..., "advice": ..., "what_not_to_do": ..., "source": ""}
    said = models.JSONField()
    step = models.PositiveSmallIntegerField(default=0)
    # The ladder: when it began, when and how often people were told, when all of it had been
    # climbed in vain, when it stirs next (``scoring.rules.life``).
    began_at = models.DateTimeField(null=True)
    told_at = models.DateTimeField(null=True)
    tellings = models.PositiveIntegerField(default=0, db_default=0)
    exhausted_at = models.DateTimeField(null=True)
    next_at = models.DateTimeField(null=True)
    owner = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    escalated_at = models.DateTimeField(null=True)
    acknowledged_at = models.DateTimeField(null=True)
    acknowledged_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    note = NoteText(blank=True)
    next_step = NoteLine(max_length=300, blank=True)
    next_step_by = models.DateTimeField(null=True)
    snoozed_until = models.DateTimeField(null=True)
    snooze_reason = NoteLine(max_length=300, blank=True)
    snoozed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    resolved_at = models.DateTimeField(null=True)
    resolved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    resolution = models.CharField(max_length=12, blank=True)
    resolve_reason = NoteLine(max_length=500, blank=True)
    vet_said = NoteText(blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(fields=["organisation", "-id"], name="scoring_alert_newest"),
            models.Index(fields=["organisation", "horse", "-id"], name="scoring_alert_of"),
            models.Index(
                fields=["organisation", "yard"],
                name="scoring_alert_open_in",
                condition=~Q(state="resolved"),
            ),
            models.Index(
                fields=["organisation", "horse"],
                name="scoring_alert_exhausted",
                condition=Q(exhausted_at__isnull=False),
            ),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "horse", "rule"],
                condition=~Q(state="resolved"),
                name="scoring_alert_one_open_a_rule",
            ),
            models.CheckConstraint(
                name="scoring_alert_state",
                condition=Q(state__in=["open", "acknowledged", "snoozed", "resolved"]),
            ),
            models.CheckConstraint(
                name="scoring_alert_severity", condition=Q(severity__in=["watch", "act", "urgent"])
            ),
            models.CheckConstraint(
                name="scoring_alert_acknowledged_names_the_step",
                condition=~Q(state="acknowledged")
                | (Q(acknowledged_at__isnull=False, next_step_by__isnull=False) & ~Q(next_step="")),
            ),
            models.CheckConstraint(
                name="scoring_alert_snoozed_says_why_and_until",
                condition=~Q(state="snoozed")
                | (Q(snoozed_until__isnull=False) & ~Q(snooze_reason="")),
            ),
            models.CheckConstraint(
                name="scoring_alert_exhausted_only_while_open",
                condition=Q(exhausted_at__isnull=True) | Q(state="open"),
            ),
            models.CheckConstraint(
                name="scoring_alert_resolved_says_how",
                condition=~Q(state="resolved") | (Q(resolved_at__isnull=False) & ~Q(resolution="")),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.rule} of {self.horse_id}"


class AlertSighting(Owned):
    """A reading or concern that opened or renewed an alert, and the alert as it stood then."""

    alert = models.ForeignKey(
        Alert, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    assessment = models.ForeignKey(
        Assessment,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    concern = models.ForeignKey(
        Concern,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    at = models.DateTimeField()
    severity = models.CharField(max_length=8)
    state = models.CharField(max_length=12)
    said = models.JSONField()
    version = models.PositiveIntegerField()

    class Meta(Owned.Meta):
        indexes = [
            models.Index(fields=["organisation", "assessment"], name="scoring_sighting_by_reading"),
            models.Index(fields=["organisation", "concern"], name="scoring_sighting_by_concern"),
        ]
        constraints = [*Owned.Meta.constraints]

    def __str__(self) -> str:
        return f"{self.alert_id} at {self.at:%Y-%m-%d}"
