"""Concerns: danger signs seen with no score at all."""

from django.contrib.postgres.fields import ArrayField
from django.db import models

from scoring.models.record import NOT_AHEAD, Recorded
from yards.models import Owned
from yards.models.notes import NoteText


class Concern(Recorded):
    """Something seen that cannot wait for a score. ``taken_at`` is when it was seen."""

    danger_signs = ArrayField(models.CharField(max_length=40), default=list)
    note = NoteText(blank=True)

    class Meta(Recorded.Meta):
        indexes = [
            models.Index(
                fields=["organisation", "horse", "-corrected_at"], name="scoring_concern_of"
            )
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(name="scoring_concern_not_ahead", condition=NOT_AHEAD),
        ]

    def __str__(self) -> str:
        return str(self.ref)
