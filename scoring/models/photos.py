"""Photos: what was sent is measured and forgotten, what is kept is drawn anew from it."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from scoring.models.assessments import Assessment
from scoring.models.concerns import Concern
from scoring.models.record import NOT_AHEAD
from scoring.rules import photo
from yards.models import Horse, Owned


class Photo(Owned):
    """One photo of an assessment, of a concern, or of a horse. Never edited.

    ``image`` is the JPEG that we made; ``sent_sha256`` the digest of the bytes that came, by which
    a phone knows that this very photo is kept. Lists never load the image.
    """

    of = models.CharField(max_length=12)
    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
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
    side = models.CharField(max_length=8)
    taken_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True)
    received_at = models.DateTimeField()
    corrected_at = models.DateTimeField()
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, db_index=False, related_name="+"
    )
    token_ref = models.UUIDField(null=True)
    sent_sha256 = models.BinaryField(max_length=32)
    image = models.BinaryField()
    width = models.PositiveSmallIntegerField()
    height = models.PositiveSmallIntegerField()
    content_digest = models.BinaryField(max_length=32)

    class Meta(Owned.Meta):
        indexes = [
            models.Index(fields=["organisation", "horse", "-id"], name="scoring_photo_of"),
            models.Index(
                fields=["organisation", "assessment"],
                name="scoring_photo_by_reading",
                condition=Q(assessment__isnull=False),
            ),
            models.Index(
                fields=["organisation", "concern"],
                name="scoring_photo_by_concern",
                condition=Q(concern__isnull=False),
            ),
        ]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="scoring_photo_is_of_one_thing",
                condition=Q(of="assessment", assessment__isnull=False, concern__isnull=True)
                | Q(of="concern", assessment__isnull=True, concern__isnull=False)
                | Q(of="horse", assessment__isnull=True, concern__isnull=True),
            ),
            models.CheckConstraint(name="scoring_photo_side", condition=Q(side__in=photo.SIDES)),
            models.CheckConstraint(name="scoring_photo_not_ahead", condition=NOT_AHEAD),
        ]

    def __str__(self) -> str:
        return str(self.ref)
