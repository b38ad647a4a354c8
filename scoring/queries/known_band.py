"""The target band of a horse on one day gone by, as it was known then."""

from datetime import datetime, timedelta
from uuid import UUID

from scoring.models import Assessment
from scoring.queries import band_days
from scoring.queries.periods import Period
from yards.access import doors
from yards.rules.roles import Verb, Viewer, may

_DAY = timedelta(days=1)


def of(viewer: Viewer, ref: UUID, *, at: datetime) -> band_days.BandPoint | None:
    """Return the band, or None before there was a record, or for a part of the record.

    It hangs on facts, orders and stays of all time, which whoever sees a part of it is not told.
    """
    if not may(viewer, Verb.READ_STANDING):
        return None
    horse = doors.horse_for_read(viewer, ref)
    last = Assessment.objects.filter(horse=horse).order_by("-corrected_at", "-id").first()
    period = Period(at - _DAY, at, at)
    points = band_days.of(horse, [period], last.scale if last else None, at).points(period)
    return points[-1] if points else None
