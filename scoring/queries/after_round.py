"""What was known of a round's horses before it: opened for each only when it has been felt.

Kept apart from the round itself, so that a last score, a band or an alert never anchors the hand.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from scoring.models import Alert, Standing
from scoring.queries import targets
from scoring.queries.assessments import Band
from scoring.rules import risk, scale
from yards.access import doors
from yards.models import Yard
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class LastScore:
    """The last score that counts, as felt, and the last weight in kilograms beside it.

    ``regions`` None is a whole-animal score; a region None was not safe to palpate.
    """

    at: datetime
    scale: str
    overall: Decimal | None
    regions: Mapping[str, Decimal | None] | None
    weight_kg: Decimal | None
    weighed_at: datetime | None


@dataclass(frozen=True, slots=True)
class AfterAlert:
    """An alert that is not resolved. ``said`` holds message keys.

    None says that a look is late: whoever reads this has just looked.
    """

    rule: str
    severity: str
    said: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class AfterHorse:
    """What one horse's score is held against; ``next_due_days`` from this score to the next."""

    id: UUID
    last: LastScore | None
    band: Band
    band_scale: str
    place: str
    alerts: Sequence[AfterAlert]
    next_due_days: int


def after_round(viewer: Viewer, yard: UUID, *, now: datetime) -> Sequence[AfterHorse]:
    """Return it for each horse of a yard that is in scope; raises NotFound or NotAllowed.

    In a fixed number of queries, by standings and never by history.
    """
    place = doors.yard_for_read(viewer, yard)
    doors.require(viewer, Verb.WALK_ROUNDS)
    scope = doors.scope(viewer, horse="horse_id", yard="horse__yard_id")
    held = list(
        Standing.objects.filter(scope, horse__status="present", horse__yard_id=place.id)
        .select_related("horse", "last_assessment", "last_weighing")
        .order_by("horse__name_key", "horse_id")
    )
    keys = [each.horse_id for each in held]
    orders, alerts = targets.orders_of(keys, now), _alerts(keys)
    return [
        _horse(
            each,
            place,
            orders.get(each.horse_id, targets.NO_ORDERS),
            alerts.get(each.horse_id, ()),
            now,
        )
        for each in held
    ]


def _alerts(horses: Sequence[int]) -> dict[int, tuple[AfterAlert, ...]]:
    found: dict[int, tuple[AfterAlert, ...]] = {}
    held = Alert.objects.filter(horse_id__in=horses).exclude(state="resolved")
    for each in held.exclude(rule__in=risk.LATENESS).order_by("id"):
        told = AfterAlert(each.rule, each.severity, each.said)
        found[each.horse_id] = (*found.get(each.horse_id, ()), told)
    return found


def _horse(
    standing: Standing,
    yard: Yard,
    orders: targets.Orders,
    alerts: Sequence[AfterAlert],
    now: datetime,
) -> AfterHorse:
    horse, last = standing.horse, _last(standing)
    key = last.scale if last is not None else scale.usual_for(horse.species)
    band = targets.band_of(horse, yard, now, orders=orders, scale=key)
    return AfterHorse(
        id=horse.ref,
        last=last,
        band=Band(band.low, band.aim, band.high),
        band_scale=key,
        place=standing.place,
        alerts=alerts,
        next_due_days=standing.score_days,
    )


def _last(standing: Standing) -> LastScore | None:
    row = standing.last_assessment
    if row is None:
        return None
    weighed = standing.last_weighing
    felt = scale.Felt(row.neck, row.back, row.hind) if row.scale == scale.FIVE else None
    return LastScore(
        at=row.corrected_at,
        scale=row.scale,
        overall=scale.mean(row.overall_sixths),
        regions=felt.points() if felt is not None else None,
        weight_kg=weighed.weight_kg if weighed is not None else None,
        weighed_at=weighed.corrected_at if weighed is not None else None,
    )
