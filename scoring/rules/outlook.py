"""What a trend says in plain numbers: level, rate, chances, and when a band is entered or left.

All intervals are central 80% intervals of the normal law, of the true level and rate, not of the
next reading, with all that the offsets of hands and instruments may add. Honest refusals are
message keys: fewer than 3 readings or less than 14 days give no rate, chance or forecast, and after
more than 120 days without a reading nothing is said at all: ask ``lacking_at`` first.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import NamedTuple

from scoring.rules import baseline, checked, clocks, scale, trend

FEWEST, SHORTEST_DAYS = 3, 14.0
# Standard normal quantile for a central 80% interval.
Z80 = 1.2815515655446004

NOT_ENOUGH = "not_enough_readings"
TOO_CLOSE = "readings_too_close"
TOO_OLD = "last_reading_too_old"
NOT_WITHIN = "not_within_horizon"

ENTERS, LEAVES = "enters", "leaves"
LOW, HIGH = "low", "high"
HORIZON_DAYS, LONGEST_HORIZON_DAYS = 90, 365
# What a forecast's earliest, expected and latest time stand for: an 80% interval round the middle.
_CHANCES = (0.1, 0.5, 0.9)


class _Edge(NamedTuple):
    """What may happen at one edge of a band: the level comes to lie above it (1) or below (-1)."""

    event: str
    name: str
    limit: float
    way: int


class Span(NamedTuple):
    """A value with its 80% interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Estimate:
    """Level with its 80% interval, and the rate a month with its own once there is enough.

    In points for scores, held to the ends of their scale. ``reason`` says why there is no rate: a
    message key, or empty.
    """

    level: float
    low: float
    high: float
    rate_per_month: float | None
    rate_low: float | None
    rate_high: float | None
    reason: str

    @property
    def enough(self) -> bool:
        """Whether there were readings enough for a rate."""
        return self.rate_per_month is not None


@dataclass(frozen=True, slots=True)
class WeightRate:
    """How fast a weight goes, a week: per cent of itself, and kilograms of the level told."""

    percent: Span
    kg: Span


@dataclass(frozen=True, slots=True)
class Forecast:
    """When the true level is expected to enter or leave a band.

    ``event`` is ``enters`` or ``leaves``, over the edge ``low`` or ``high``. By ``earliest``,
    ``expected`` and ``latest`` the chance that the level lies beyond that edge has come to 10, 50
    and 90%; at once where it had come to that by then, None when not within the horizon.
    ``reason`` is a message key, or empty when there is an expected time.
    """

    event: str
    edge: str
    earliest: datetime | None
    expected: datetime | None
    latest: datetime | None
    reason: str
    horizon_days: int


def span(value: float, variance: float) -> Span:
    """Return the 80% interval of a normal quantity; raises OutOfRange for what is not finite."""
    checked.finite("value", value)
    half = Z80 * math.sqrt(checked.within("variance", variance, 0.0, trend.MOST_VARIANCE))
    return Span(value, value - half, value + half)


def level(state: trend.State) -> Span:
    """Return the level of a state's last reading with its interval, in the filter's own unit."""
    known = trend.whole(state)
    return span(known.level, known.level_var)


def on_scale(found: Span, series: str) -> Span:
    """Return a span of scores held to the ends of their scale; one of another measure as it is.

    The filter knows of no end: a line that goes on may leave the scale, which no animal does.
    """
    if series not in (*scale.SCALES, scale.CREST):
        return found
    ends = scale.of(series)
    least, most = float(ends.low_points), float(ends.high_points)
    return Span(*(min(max(each, least), most) for each in found))


def lacking(state: trend.State | None) -> str:
    """Return why a baseline has no rate yet, a message key; empty: it has one."""
    if state is None or state.count < FEWEST:
        return NOT_ENOUGH
    return TOO_CLOSE if state.at - state.first_at < SHORTEST_DAYS * trend.DAY else ""


def lacking_at(state: trend.State | None, when: datetime) -> str:
    """Return why nothing can be told of a time, a message key; empty: it can."""
    return TOO_OLD if too_old(state, when) else lacking(state)


def too_old(state: trend.State | None, when: datetime) -> bool:
    """Return whether more than 120 days have gone since the last reading; without any, not."""
    longest = baseline.LONGEST_GAP_DAYS * trend.DAY
    return state is not None and checked.instant(when) - state.at > longest


def estimate(state: trend.State | None) -> Estimate | None:
    """Return what a state says of its last reading's time; None without readings.

    Whether that is too long ago to be told is for ``lacking_at``.
    """
    if state is None:
        return None
    told, reason = on_scale(level(state), state.series), lacking(state)
    if reason:
        return Estimate(*told, None, None, None, reason)
    return Estimate(*told, *rate_per(state, trend.MONTH_DAYS), "")


def rate_per(state: trend.State, days: float) -> Span:
    """Return a state's rate over a number of days, in the values' unit.

    Ask ``lacking`` first: of too few readings it says little more than the model does.
    """
    known = trend.whole(state)
    return span(known.rate * days, known.rate_var * days * days)


def kilograms(found: Span) -> Span:
    """Return a span of logarithms of kilograms, each up to 700 either way, in kilograms."""
    return Span(*(math.exp(checked.within("log_kg", each, -700, 700)) for each in found))


def weight_rate(state: trend.State) -> WeightRate:
    """Return the rate a week of a state of logarithms of kilograms; ask ``lacking`` first."""
    kg = kilograms(level(state)).value
    week = rate_per(state, trend.WEEK_DAYS)
    gone = [math.expm1(checked.within("rate", each, -700, 700)) for each in week]
    return WeightRate(
        percent=Span(*(100 * each for each in gone)), kg=Span(*(kg * each for each in gone))
    )


def at(state: trend.State, when: datetime, *, model: trend.Model) -> trend.State:
    """Return what is known of a time from the last reading on: ``level``, ``rate`` and variances.

    The covariance is the whole one, offsets and all.
    A reading may be up to 5 minutes ahead of our clock, so such a time is taken as the reading's.
    Raises OutOfOrder for an earlier one: that is for the smoother.
    """
    seconds = checked.instant(when)
    if seconds < state.at - clocks.AHEAD.total_seconds():
        raise trend.OutOfOrder(when.isoformat())
    return trend.ahead(trend.whole(state), max(seconds, state.at), model)


def chance_above(state: trend.State, limit: float, when: datetime, *, model: trend.Model) -> float:
    """Return the probability, 0 to 1, that the true level lies above a limit at a time.

    The limit is in the values' unit: for weights the logarithm of kilograms. Ask ``lacking_at``
    first. Raises OutOfRange, and OutOfOrder as ``at`` does.
    """
    checked.within("limit", limit, -trend.MOST_VALUE, trend.MOST_VALUE)
    return _beyond(at(state, when, model=model), limit, 1)


def chance_below(state: trend.State, limit: float, when: datetime, *, model: trend.Model) -> float:
    """Return the probability, 0 to 1, that the true level lies below a limit; see above."""
    checked.within("limit", limit, -trend.MOST_VALUE, trend.MOST_VALUE)
    return _beyond(at(state, when, model=model), limit, -1)


def _beyond(state: trend.State, limit: float, way: int) -> float:
    """Return the probability that the level lies above (way 1) or below (-1) a limit."""
    return 0.5 * math.erfc(way * (limit - state.level) / math.sqrt(2 * state.level_var))


def forecast(
    state: trend.State | None,
    low: float,
    high: float,
    now: datetime,
    *,
    model: trend.Model,
    horizon_days: int = HORIZON_DAYS,
) -> Forecast:
    """Return when the true level is expected to enter the band, or to leave it when it is inside.

    Edges in the values' unit, which hold still; inside or outside is judged by the level expected
    ``now``, not by the nearest half point. The band may be left over either edge: the one that is
    expected sooner is told, or the likelier by the horizon's end. ``horizon_days`` is 1 to 365.
    Raises OutOfRange, and OutOfOrder as ``at`` does.
    """
    checked.whole("horizon_days", horizon_days, 1, LONGEST_HORIZON_DAYS)
    checked.within("low", low, -trend.MOST_VALUE, trend.MOST_VALUE)
    checked.within("high", high, low, trend.MOST_VALUE)
    reason = lacking_at(state, now)
    if state is None or reason:
        return Forecast("", "", None, None, None, reason, horizon_days)
    here = at(state, now, model=model)
    if here.level < low:
        return _crossing(here, _Edge(ENTERS, LOW, low, 1), model, horizon_days)
    if here.level > high:
        return _crossing(here, _Edge(ENTERS, HIGH, high, -1), model, horizon_days)
    edges = _Edge(LEAVES, LOW, low, -1), _Edge(LEAVES, HIGH, high, 1)
    down, up = (_crossing(here, each, model, horizon_days) for each in edges)
    if down.expected is not None or up.expected is not None:
        never = datetime.max.replace(tzinfo=UTC)
        return min(down, up, key=lambda each: each.expected or never)
    end = trend.ahead(here, here.at + horizon_days * trend.DAY, model)
    return down if _beyond(end, low, -1) > _beyond(end, high, 1) else up


def _crossing(here: trend.State, edge: _Edge, model: trend.Model, horizon_days: int) -> Forecast:
    def chance(days: float) -> float:
        then = trend.ahead(here, here.at + days * trend.DAY, model)
        return _beyond(then, edge.limit, edge.way)

    earliest, expected, latest = (
        None if days is None else datetime.fromtimestamp(here.at + days * trend.DAY, UTC)
        for days in _first_days(chance, horizon_days)
    )
    reason = "" if expected is not None else NOT_WITHIN
    return Forecast(edge.event, edge.name, earliest, expected, latest, reason, horizon_days)


def _first_days(chance: Callable[[float], float], most_days: int) -> list[float | None]:
    """Return after how many days a chance first comes to 10, 50 and 90%, to the hour.

    It is looked for day by day; None where it does not come within so many.
    """
    found: list[float | None] = []
    for day in range(most_days + 1):
        here = chance(float(day))
        while len(found) < len(_CHANCES) and here >= _CHANCES[len(found)]:
            found.append(_hour(chance, _CHANCES[len(found)], day) if day else 0.0)
        if len(found) == len(_CHANCES):
            break
    return found + [None] * (len(_CHANCES) - len(found))


def _hour(chance: Callable[[float], float], least: float, day: int) -> float:
    """Return when, within the day before ``day``, a chance came to so much."""
    early, late = day - 1.0, float(day)
    while late - early > 1 / 24:
        middle = (early + late) / 2
        early, late = (early, middle) if chance(middle) >= least else (middle, late)
    return late
