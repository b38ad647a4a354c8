"""What a horse was scored the time before: told beside a score only once that score is saved."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from scoring.access import readings
from scoring.rules import reading
from yards.rules.roles import Viewer


@dataclass(frozen=True, slots=True)
class Before:
    """The overall before, in sixths of a point on the same scale, when, and whose hand it was."""

    sixths: int
    at: datetime
    by: str


def score_before(viewer: Viewer, horse: UUID, *, scale: str, at: datetime) -> Before | None:
    """Return the last score by hand that counts and was taken before an instant; one query."""
    rows = readings.assessments_in_scope(viewer).filter(
        horse__ref=horse,
        scale=scale,
        manner=reading.PALPATED,
        corrected_at__lt=at,
        overall_sixths__isnull=False,
        superseded_by__isnull=True,
    )
    found = rows.select_related("assessor").order_by("-corrected_at", "-received_at", "-id").first()
    if found is None or found.overall_sixths is None:
        return None
    return Before(found.overall_sixths, found.corrected_at, found.assessor.name)
