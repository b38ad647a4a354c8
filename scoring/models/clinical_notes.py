"""What a vet writes down of a horse, for vets and coordinators only."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from scoring.rules import clinical_note
from yards.models import Horse, Owned, Yard


class ClinicalNote(Owned):
    """One note, never altered; a later one may stand in its place, with the reason.

    ``yard`` is where the horse stood when it was written. The words are here and nowhere else: the
    ledger holds their seal, made with ``salt``.
    """

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    yard = models.ForeignKey(
        Yard, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    text = models.TextField()
    supersedes = models.ForeignKey(
        "self",
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="superseded_by",
    )
    reason = models.CharField(max_length=clinical_note.REASON_MOST, blank=True)
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, db_index=False, related_name="+"
    )
    written_at = models.DateTimeField()
    salt = models.BinaryField(max_length=clinical_note.SALT_BYTES)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(fields=["organisation", "horse", "-id"], name="scoring_note_of"),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "supersedes"], name="scoring_note_superseded_once"
            ),
            models.CheckConstraint(
                name="scoring_note_corrected_with_a_reason",
                condition=Q(supersedes__isnull=True, reason="")
                | (Q(supersedes__isnull=False) & ~Q(reason="")),
            ),
            models.CheckConstraint(name="scoring_note_says_something", condition=~Q(text="")),
        ]

    def __str__(self) -> str:
        return str(self.ref)
