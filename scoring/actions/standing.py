"""Keeps each horse's standing: one step for a reading in order, the whole series for a late one.

A standing can always be made again from the readings, and comes out the same. Callers hold the
standing row locked, except ``make``.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

import uuid_utils.compat as uuid_utils

from scoring.models import Assessment, Standing, Weighing
from scoring.queries import evidence, fits, series, targets
from scoring.rules import band as bands
from scoring.rules import baseline, due, reading, risk_thin, seen, trend
from scoring.rules import standing as rule
from yards import isolation
from yards.models import Horse, rows
from yards.rules.roles import Viewer

KEPT = (
    "yard_id",
    "fit_id",
    "last_assessment_id",
    "last_weighing_id",
    "score_filter",
    "weight_filter",
    "level",
    "level_low",
    "level_high",
    "rate_per_month",
    "rate_low",
    "rate_high",
    "place",
    "score_days",
    "weight_days",
    "check_days",
    "interval_reason",
    "score_due_at",
    "weight_due_at",
    "check_due_at",
    "updated_at",
)


def make(viewer: Viewer, horse: Horse, now: datetime) -> None:
    """Give a new horse its standing: nothing known, a score and a weight due at once."""
    isolation.required(viewer)
    found = due.intervals(due.Facts(species=horse.species, laminitis=horse.laminitis))
    Standing.objects.create(
        organisation_id=viewer.organisation,
        ref=uuid_utils.uuid7(),
        horse=horse,
        yard_id=horse.yard_id,
        fit=fits.newest(),
        score_days=found.score_days,
        weight_days=found.weight_days,
        check_days=found.check_days,
        interval_reason=found.why,
        score_due_at=now,
        weight_due_at=now,
        updated_at=now,
    )


def step_score(standing: Standing, row: Assessment, orders: targets.Orders) -> None:
    """Take a new assessment into the score's filter."""
    if row.manner != reading.PALPATED or row.overall_sixths is None:
        return
    fit = fits.of(standing)
    standing.score_filter = _stepped(
        standing.score_filter,
        series.score_reading(row, fit),
        fit.score_model(row.scale),
        series.foalings_among(orders.events),
    )
    if standing.score_filter is None:
        _refilter_score(standing, series.animal(standing.horse_id), fit)


def step_weight(standing: Standing, row: Weighing, orders: targets.Orders) -> None:
    """Take a new weighing into the weight's filter; one by another instrument filters it again."""
    fit = fits.of(standing)
    standing.weight_filter = (
        _stepped(
            standing.weight_filter,
            series.weight_reading(row, fit),
            fit.weight_model,
            series.foalings_among(orders.events),
        )
        if _is_by_the_same(standing, row)
        else None
    )
    if standing.weight_filter is None:
        _refilter_weight(standing, series.animal(standing.horse_id), fit)


def _is_by_the_same(standing: Standing, row: Weighing) -> bool:
    """Return whether a weighing is by the last one's instrument, or by eye, or the first."""
    own = series.instrument(row)
    if own is None or standing.last_weighing_id is None:
        return True
    last = Weighing.objects.only("method", "formula", "instrument_id")
    return series.instrument(last.get(id=standing.last_weighing_id)) == own


def _stepped(
    held: dict[str, object] | None,
    taken: trend.Reading,
    model: trend.Model,
    resets: Sequence[baseline.Reset],
) -> dict[str, object] | None:
    """Return the filter one reading on, or None for a late reading."""
    try:
        return trend.take(trend.State.of(held), taken, model=model, resets=resets).plain()
    except trend.OutOfOrder:
        return None


def _refilter_score(standing: Standing, animal: series.Animal, fit: fits.InForce) -> None:
    state = series.of_scores(animal, fit).state()
    standing.score_filter = state.plain() if state is not None else None


def _refilter_weight(standing: Standing, animal: series.Animal, fit: fits.InForce) -> None:
    state = series.of_weights(animal, fit).state()
    standing.weight_filter = state.plain() if state is not None else None


def rebuild(viewer: Viewer, standing: Standing, now: datetime) -> evidence.Newest:
    """Make a standing again from its horse's readings, and keep it; return the newest of them.

    By the newest fit of the organisation, which the standing names from then on.
    """
    standing.fit = fits.newest()
    return refilter(viewer, standing, now)


def refilter(viewer: Viewer, standing: Standing, now: datetime) -> evidence.Newest:
    """Make a standing again from its horse's readings, by the fit that it names."""
    animal, fit = series.animal(standing.horse_id), fits.of(standing)
    _refilter_score(standing, animal, fit)
    _refilter_weight(standing, animal, fit)
    return settle(viewer, standing, now)


def settle(
    viewer: Viewer, standing: Standing, now: datetime, *, orders: targets.Orders | None = None
) -> evidence.Newest:
    """Work out what follows from the filters and the newest readings, and keep it.

    ``orders`` are the vet's in force now, where the caller has them. Returns those readings.
    """
    isolation.required(viewer)
    horse, yard = standing.horse, standing.horse.yard
    standing.yard_id = horse.yard_id
    if orders is None:
        [orders] = targets.orders_at(horse.id, now)
    newest = evidence.newest_of(horse.id, now)
    last = newest.palpated
    standing.last_assessment_id = last.id if last is not None else None
    standing.last_weighing_id = newest.weighing
    _estimates(standing)
    standing.place = ""
    if last is not None:
        band = targets.band_of(horse, yard, now, orders=orders, scale=last.score.scale)
        standing.place = bands.place(last.score.nearest or 0, band)
    _dues(standing, newest, orders)
    standing.updated_at = now
    rows.keep(standing, KEPT)
    return newest


def _estimates(standing: Standing) -> None:
    found = rule.estimate(rule.State.of(standing.score_filter))
    standing.level = found.level if found is not None else None
    standing.level_low = found.low if found is not None else None
    standing.level_high = found.high if found is not None else None
    standing.rate_per_month = found.rate_per_month if found is not None else None
    standing.rate_low = found.rate_low if found is not None else None
    standing.rate_high = found.rate_high if found is not None else None


def _thinnest(newest: evidence.Newest) -> seen.Score | None:
    """Return the newest reading that says anything, or the felt one that it may not mask."""
    looks = (newest.speaks, newest.felt, newest.palpated)
    scores = [look.score for look in looks if look is not None]
    return next(iter((*risk_thin.emaciated_of(scores), *scores)), None)


def _dues(standing: Standing, newest: evidence.Newest, orders: targets.Orders) -> None:
    """Set the intervals and what falls due when; what was never done is due since it began."""
    last, weighed_at = newest.palpated, newest.weighed_at
    horse, zone = standing.horse, standing.horse.yard.time_zone
    found = due.intervals(
        due.Facts(
            species=horse.species,
            laminitis=horse.laminitis,
            score=_thinnest(newest),
            crest=newest.crest.score.crest if newest.crest is not None else None,
            vet_score_days=orders.score_days,
            vet_weight_days=orders.weight_days,
        )
    )
    standing.score_days, standing.weight_days = found.score_days, found.weight_days
    standing.check_days, standing.interval_reason = found.check_days, found.why
    began = horse.created_at
    standing.score_due_at = (
        due.due_at(last.score.at, found.score_days, zone) if last is not None else began
    )
    standing.weight_due_at = (
        due.due_at(weighed_at, found.weight_days, zone) if weighed_at is not None else began
    )
    standing.check_due_at = None
    if found.check_days is not None:
        looked = evidence.looked_at(horse.id, newest)
        if looked is not None:
            standing.check_due_at = looked + timedelta(days=found.check_days)
