"""Whose hands, and which instrument."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from yards.models import Owned, Yard


class Assessor(Owned):
    """One organisation's hand: a person with a sign-in, or an outside scorer without one."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=12)
    created_at = models.DateTimeField()

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.UniqueConstraint(
                fields=["organisation", "person"], name="scoring_assessor_once_a_person"
            ),
            models.CheckConstraint(
                name="scoring_assessor_kind", condition=Q(kind__in=["staff", "volunteer", "vet"])
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Instrument(Owned):
    """One weigh tape or weighbridge. Two tapes are two instruments: they do not agree."""

    kind = models.CharField(max_length=12)
    label = models.CharField(max_length=120)
    yard = models.ForeignKey(
        Yard,
        null=True,
        on_delete=models.PROTECT,
        db_constraint=False,
        db_index=False,
        related_name="+",
    )
    created_at = models.DateTimeField()
    content_digest = models.BinaryField(max_length=32)

    class Meta(Owned.Meta):
        constraints = [
            *Owned.Meta.constraints,
            models.CheckConstraint(
                name="scoring_instrument_kind", condition=Q(kind__in=["weigh_tape", "weighbridge"])
            ),
        ]

    def __str__(self) -> str:
        return self.label
