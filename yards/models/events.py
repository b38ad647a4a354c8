"""What happened to a horse besides readings."""

from django.conf import settings
from django.db import models

from yards.models.base import Owned
from yards.models.horses import Horse
from yards.models.notes import NoteLine


class HorseEvent(Owned):
    """An event in a horse's life: covered, foaled, weaned, clipped, died. Never edited."""

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    kind = models.CharField(max_length=24)
    at = models.DateTimeField()
    note = NoteLine(max_length=500, blank=True)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    recorded_at = models.DateTimeField()
    content_digest = models.BinaryField(max_length=32)

    class Meta(Owned.Meta):
        indexes = [models.Index(fields=["organisation", "horse", "-at"], name="yards_event_of")]

    def __str__(self) -> str:
        return f"{self.kind} {self.at:%Y-%m-%d}"
