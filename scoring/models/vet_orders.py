"""What a vet has set for one horse: its band, and how often to look."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from yards.models import Horse, Owned
from yards.models.notes import NoteLine


class VetOrder(Owned):
    """A vet's band or intervals for a horse, with a reason and an end. The newest in force wins.

    Bands are in half points on the horse's own scale, intervals in days.
    """

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    band_low = models.SmallIntegerField(null=True)
    band_high = models.SmallIntegerField(null=True)
    score_days = models.PositiveSmallIntegerField(null=True)
    weight_days = models.PositiveSmallIntegerField(null=True)
    reason = NoteLine(max_length=500)
    given_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+"
    )
    given_at = models.DateTimeField()
    until_at = models.DateTimeField()
    content_digest = models.BinaryField(max_length=32)

    class Meta(Owned.Meta):
        indexes = [models.Index(fields=["organisation", "horse", "-id"], name="scoring_order_of")]
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="scoring_order_ends_after_it_begins", condition=Q(until_at__gt=F("given_at"))
            ),
            models.CheckConstraint(
                name="scoring_order_band_has_both_edges",
                condition=Q(band_low__isnull=True, band_high__isnull=True)
                | Q(band_low__isnull=False, band_high__gt=F("band_low")),
            ),
        ]

    def __str__(self) -> str:
        return str(self.ref)


class VetOrderEnd(Owned):
    """A vet's word that an order ends sooner than it said: one an order, never altered."""

    order = models.ForeignKey(
        VetOrder, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="ends"
    )
    reason = NoteLine(max_length=500)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, db_index=False, related_name="+"
    )
    ended_at = models.DateTimeField()

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "order"], name="scoring_order_ends_once"
            ),
            models.CheckConstraint(name="scoring_order_end_says_why", condition=~Q(reason="")),
        ]

    def __str__(self) -> str:
        return f"end of {self.order_id}"
