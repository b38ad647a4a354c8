"""Which horses of a round were scored today already: when and by whom, and nothing of the score."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time
from uuid import UUID

from scoring.access import readings
from yards.queries.yards import YardCard
from yards.rules import daytime
from yards.rules.roles import Viewer

_FELT = ("neck", "back", "hind", "whole")


@dataclass(frozen=True, slots=True)
class ScoredToday:
    """The last look at a horse today; ``is_scored`` unless no place was safe to palpate."""

    at: datetime
    by: str
    is_scored: bool


def scored_today(viewer: Viewer, yard: YardCard, *, now: datetime) -> Mapping[UUID, ScoredToday]:
    """Return the last assessment of today, by the yard's clock, of each horse that stands there."""
    readings.require_sight(viewer)
    begins = daytime.at_local(daytime.local_date(now, yard.time_zone), time(), yard.time_zone)
    rows = (
        readings.assessments_in_scope(viewer)
        .filter(horse__yard__ref=yard.ref, corrected_at__gte=begins, superseded_by=None)
        .order_by("corrected_at", "received_at", "id")
        .values_list("horse__ref", "corrected_at", "assessor__name", *_FELT)
    )
    return {
        horse: ScoredToday(at, by, any(each is not None for each in felt))
        for horse, at, by, *felt in rows
    }
