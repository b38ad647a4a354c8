"""Learns from an organisation's readings how its hands and tapes differ, once a week.

The fit is one row; each yard's standings are then brought to it in a transaction of their own, and
until then run by the fit they name. The numbers need numpy, which only a worker loads.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

import uuid_utils.compat as uuid_utils
from django.db.models import QuerySet
from django.db.models.functions import Coalesce

from scoring.actions import standing, subjects, timer_rows
from scoring.models import Fit, Timer
from scoring.queries import fits, series
from scoring.rules import scale
from yards import audit, isolation
from yards.models import Horse, HorseEvent, Yard
from yards.rules import breeding
from yards.rules import horse as horse_rule
from yards.rules.roles import Viewer

if TYPE_CHECKING:
    from scoring.rules.trend_case import Readings


class _Row(NamedTuple):
    """One reading as a fit takes it, in the order of its arrays."""

    horse: int
    at: datetime
    value: float
    series: str
    method: str
    assessor: str
    instrument: str


EVERY = timedelta(days=7)
FIRST_AFTER = timedelta(days=1)
# Hands change: what is older than three years says little of how they feel now.
BACK = timedelta(days=3 * 365)
FITTED = "trends.fitted"
_DAY = 86400.0


def ensure_fit(viewer: Viewer, now: datetime) -> None:
    """Let the organisation's readings be learnt from, from tomorrow on, if that is not planned."""
    due = now + FIRST_AFTER
    planned = timer_rows.Planned(timer_rows.FIT, due, (str(viewer.organisation),))
    timer_rows.plan(viewer, [planned], now=now)


def run(viewer: Viewer, timer: Timer, now: datetime) -> None:
    """Fit, keep the fit, and plan the yards' standings to be brought to it."""
    if timer_rows.hold(timer, now) is None:
        return
    fit(viewer, now=now)
    for yard in Yard.objects.order_by("id"):
        planned = timer_rows.Planned(timer_rows.REFIT, now, (str(yard.ref),), yard=yard.id)
        timer_rows.due_now(viewer, planned, now=now)
    Timer.objects.filter(id=timer.id).update(due_at=now + EVERY, done_at=now, attempts=0)


def refit(viewer: Viewer, timer: Timer, now: datetime) -> None:
    """Bring the standings of the timer's yard to the newest fit."""
    held = timer_rows.hold(timer, now)
    if held is None or held.yard is None:
        return
    refit_yard(viewer, held.yard, now=now)
    Timer.objects.filter(id=timer.id).update(due_at=None, done_at=now, attempts=0)


def refit_yard(viewer: Viewer, yard: Yard, *, now: datetime) -> None:
    """Make the standings of a yard again by the newest fit, those that another one made.

    Those of animals that died or left there too: somebody may ask how they stood.
    """
    newest = fits.newest()
    for held in subjects.locked_in(yard, *horse_rule.STATUSES):
        if newest is not None and held.fit_id != newest.id:
            held.fit = newest
            standing.refilter(viewer, held, now)


def learn(viewer: Viewer, *, now: datetime) -> Fit:
    """Fit, and bring every standing to it at once: for an organisation that nobody waits on."""
    made = fit(viewer, now=now)
    for yard in Yard.objects.order_by("id"):
        refit_yard(viewer, yard, now=now)
    weekly = Timer.objects.filter(organisation_id=viewer.organisation, kind=timer_rows.FIT)
    weekly.update(due_at=now + EVERY, done_at=now)
    return made


def fit(viewer: Viewer, *, now: datetime) -> Fit:
    """Work out and keep what the organisation's readings say of its hands, tapes and horses."""
    isolation.required(viewer)
    from scoring.rules import trend_fit

    scores = _scores(now)
    found = {key: trend_fit.fit(scores, key) for key in scale.SCALES}
    found[fits.WEIGHT] = trend_fit.fit(_weights(now), fits.WEIGHT)
    row = Fit.objects.create(
        organisation_id=viewer.organisation,
        ref=uuid_utils.uuid7(),
        made_at=now,
        content={key: each.plain() for key, each in found.items()},
    )
    audit.record(
        viewer,
        verb=FITTED,
        target=("organisation", viewer.organisation),
        payload={"fit": str(row.ref), "readings": {k: each.readings for k, each in found.items()}},
        at=now,
    )
    return row


def _scores(now: datetime) -> "Readings":
    """Return what was felt, on every scale: a scale is its own method."""
    rows = series.felt(_animals()).filter(corrected_at__gt=now - BACK)
    found = rows.order_by("corrected_at", "received_at", "id").values_list(
        _ROOT, "corrected_at", "overall_sixths", "scale", "assessor_id"
    )
    return _readings(
        _Row(horse, at, sixths / 6, key, key, str(hand), "")
        for horse, at, sixths, key, hand in found.iterator()
    )


def _weights(now: datetime) -> "Readings":
    """Return what was weighed, in logarithms of kilograms."""
    rows = series.weighed(_animals()).filter(corrected_at__gt=now - BACK).annotate(root=_ROOT)
    found = rows.order_by("corrected_at", "received_at", "id")
    return _readings(
        _Row(
            *(row.root, row.corrected_at, math.log(row.weight_kg), fits.WEIGHT, row.method),
            str(row.assessor_id),
            series.instrument(row) or fits.by_eye(row.assessor_id),
        )
        for row in found.iterator()
    )


_ROOT = Coalesce("horse__merged_into_id", "horse_id")


def _animals() -> QuerySet[Horse, int]:
    return Horse.objects.values_list("id", flat=True)


def _readings(rows: Iterable[_Row]) -> "Readings":
    """Return rows in order as a fit takes them; a foaling begins a baseline anew."""
    from scoring.rules import trend_case

    columns: tuple[list[Any], ...] = tuple([] for _ in _Row._fields)
    begins: list[bool] = []
    foaled, last = _foalings(), dict[int, datetime]()
    for row in rows:
        for column, value in zip(columns, row, strict=True):
            column.append(value)
        horse, at = row[0], row[1]
        since = last.get(horse)
        begins.append(any(since < each <= at for each in foaled.get(horse, ()) if since))
        last[horse] = at
    horses, ats, values, names, methods, hands, instruments = columns
    return trend_case.Readings(
        horse=horses,
        days=[at.timestamp() / _DAY for at in ats],
        value=values,
        series=names,
        method=methods,
        assessor=hands,
        instrument=instruments,
        begins=begins,
    )


def _foalings() -> Mapping[int, list[datetime]]:
    found: dict[int, list[datetime]] = defaultdict(list)
    rows = HorseEvent.objects.filter(kind=breeding.FOALED).order_by("at")
    for horse, at in rows.values_list(_ROOT, "at"):
        found[horse].append(at)
    return found
