"""What was done about an alert, act by act. Append-only."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from scoring.models.alerts import Alert
from yards.models import Owned
from yards.models.notes import NoteText

KINDS = (
    *("told", "exhausted", "reopened", "snooze_ended"),
    *("acknowledged", "assigned", "commented", "snoozed", "resolved"),
)


class AlertAct(Owned):
    """One act: by whom (nobody: by itself), about whom, and in what words.

    A comment's ``ref`` is the client's own id, so that the same comment sent twice is one.
    """

    alert = models.ForeignKey(
        Alert, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    kind = models.CharField(max_length=16)
    at = models.DateTimeField()
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    about = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    text = NoteText(blank=True)
    due_at = models.DateTimeField(null=True)
    number = models.PositiveIntegerField(default=0)

    class Meta(Owned.Meta):
        indexes = [models.Index(fields=["organisation", "alert", "id"], name="scoring_alertact_of")]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(name="scoring_alertact_kind", condition=Q(kind__in=KINDS)),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.alert_id}"
