"""What every recorded fact about a horse has in common."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from scoring.models.assessors import Assessor
from scoring.rules import clocks
from yards.models import Horse, Owned, Yard

# No reading is of the future: a device's clock may run so far ahead of ours, and no further.
NOT_AHEAD = Q(corrected_at__lte=F("received_at") + clocks.AHEAD)


class Recorded(Owned):
    """Something taken of one horse at one time by one hand. Never edited.

    ``taken_at`` is the device's clock as given; ``corrected_at`` is that time on our clock, and the
    one that orders readings and that rules judge. ``content_digest`` tells a replay from a clash.
    """

    horse = models.ForeignKey(
        Horse, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    yard = models.ForeignKey(
        Yard, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    assessor = models.ForeignKey(
        Assessor, on_delete=models.PROTECT, db_constraint=False, db_index=False, related_name="+"
    )
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, db_index=False, related_name="+"
    )
    token_ref = models.UUIDField(null=True)
    taken_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True)
    received_at = models.DateTimeField()
    corrected_at = models.DateTimeField()
    content_digest = models.BinaryField(max_length=32)

    class Meta:
        abstract = True
        constraints = [*Owned.Meta.constraints]
