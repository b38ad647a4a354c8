"""The level of a score or weight and its rate of change, one step a reading.

A Kalman filter for a local linear trend in continuous time: a level that moves by a rate, and a
rate that drifts as integrated white noise. O(1) a reading in order; a late reading means filtering
that series again. Simple on purpose: one noise per scale or method, no offsets for assessors or
instruments. The shape stays when the inside is replaced.

Scores run in points on their own scale, weights as natural logarithms of kilograms. A change of
series (another scale) and a gap over 120 days begin a new baseline. Noise and drift are from memory
(measures: a trained score repeats within about 0.25 to 0.5 on 0-5; the same tape and hand within
about 2%), not fitted.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import Any

FEWEST, SHORTEST_DAYS, LONGEST_GAP_DAYS = 3, 14.0, 120.0
NOT_ENOUGH = "not_enough_readings"
MONTH_DAYS, WEEK_DAYS = 365.25 / 12, 7.0
# Standard normal quantile for a central 80% interval.
Z80 = 1.2815515655446004
_DAY = 86400.0

SCORE_NOISE: Mapping[str, float] = {"five": 0.3, "nine": 0.5, "donkey": 0.3}
WEIGHT_NOISE: Mapping[str, float] = {
    "weighbridge": 0.01,
    "weigh_tape": 0.02,
    "formula": 0.02,
    "estimate": 0.10,
}


@dataclass(frozen=True, slots=True)
class Model:
    """How fast a rate may be at the start, and how it drifts, in units a day.

    ``drift`` is the spectral density of the rate's white noise, units squared a day cubed.
    """

    rate_sd: float
    drift: float


# A quarter point a month at the start, drifting a tenth of a point a month in a month.
SCORE = Model(rate_sd=0.25 / MONTH_DAYS, drift=(0.1 / MONTH_DAYS) ** 2 / MONTH_DAYS)
# Three per cent a month at the start, drifting one per cent a month in a month.
WEIGHT = Model(rate_sd=0.03 / MONTH_DAYS, drift=(0.01 / MONTH_DAYS) ** 2 / MONTH_DAYS)


class OutOfOrder(ValueError):
    """A reading older than the state: filter its whole series again."""


@dataclass(frozen=True, slots=True)
class State:
    """What a filter knows after a reading: level and rate a day, with their covariance.

    ``at`` and ``first_at`` are seconds since 1970; ``count`` the readings of this baseline.
    """

    series: str
    at: float
    first_at: float
    count: int
    level: float
    rate: float
    level_var: float
    cross: float
    rate_var: float

    def plain(self) -> dict[str, Any]:
        """Return the state as a row's JSON holds it."""
        return asdict(self)

    @classmethod
    def of(cls, plain: Mapping[str, Any] | None) -> "State | None":
        """Return the state that a row's JSON holds, or None."""
        return None if plain is None else cls(**plain)


@dataclass(frozen=True, slots=True)
class Reading:
    """One value of a series, and the standard deviation of its measurement."""

    at: datetime
    value: float
    noise: float
    series: str


@dataclass(frozen=True, slots=True)
class Estimate:
    """Level with its 80% interval, and the rate a month with its own once there is enough.

    In points for scores. ``reason`` says why there is no rate: a message key, or empty.
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


def step(
    state: State | None,
    at: datetime,
    value: float,
    noise: float,
    *,
    model: Model = SCORE,
    series: str = "",
) -> State:
    """Return the state after one more reading, which must not be older than the last.

    Raises OutOfOrder for an older one, ValueError for a value or noise that is no number.
    """
    if not (math.isfinite(value) and math.isfinite(noise) and noise > 0):
        raise ValueError("a reading is a finite value with a noise above zero")
    seconds = at.astimezone(UTC).timestamp()
    if state is not None and seconds < state.at:
        raise OutOfOrder(at.isoformat())
    if state is None or state.series != series or _days(state, seconds) > LONGEST_GAP_DAYS:
        return State(series, seconds, seconds, 1, value, 0.0, noise**2, 0.0, model.rate_sd**2)
    return _updated(_predicted(state, seconds, model), value, noise)


def _days(state: State, seconds: float) -> float:
    return (seconds - state.at) / _DAY


def _predicted(state: State, seconds: float, model: Model) -> State:
    days, drift = _days(state, seconds), model.drift
    return State(
        series=state.series,
        at=seconds,
        first_at=state.first_at,
        count=state.count,
        level=state.level + days * state.rate,
        rate=state.rate,
        level_var=state.level_var
        + 2 * days * state.cross
        + days**2 * state.rate_var
        + drift * days**3 / 3,
        cross=state.cross + days * state.rate_var + drift * days**2 / 2,
        rate_var=state.rate_var + drift * days,
    )


def _updated(state: State, value: float, noise: float) -> State:
    spread = state.level_var + noise**2
    gain, rate_gain = state.level_var / spread, state.cross / spread
    off = value - state.level
    return State(
        series=state.series,
        at=state.at,
        first_at=state.first_at,
        count=state.count + 1,
        level=state.level + gain * off,
        rate=state.rate + rate_gain * off,
        level_var=(1 - gain) * state.level_var,
        cross=(1 - gain) * state.cross,
        rate_var=state.rate_var - rate_gain * state.cross,
    )


def refilter(readings: Iterable[Reading], *, model: Model = SCORE) -> State | None:
    """Return the state after readings that are in order; None when there are none."""
    state = None
    for each in readings:
        state = step(state, each.at, each.value, each.noise, model=model, series=each.series)
    return state


def estimate(state: State | None) -> Estimate | None:
    """Return what a state says of its last reading's time; None without readings.

    Fewer than 3 readings, or fewer than 14 days between first and last: no rate.
    """
    if state is None:
        return None
    half = Z80 * math.sqrt(state.level_var)
    level, low, high = state.level, state.level - half, state.level + half
    if state.count < FEWEST or (state.at - state.first_at) / _DAY < SHORTEST_DAYS:
        return Estimate(level, low, high, None, None, None, NOT_ENOUGH)
    rate, spread = state.rate * MONTH_DAYS, Z80 * math.sqrt(state.rate_var) * MONTH_DAYS
    return Estimate(level, low, high, rate, rate - spread, rate + spread, "")


@dataclass(frozen=True, slots=True)
class WeightEstimate:
    """Weight in kilograms with its 80% interval; rates a week, in per cent and kilograms."""

    kg: float
    low: float
    high: float
    percent_per_week: float | None
    kg_per_week: float | None
    reason: str


def weight_estimate(state: State | None) -> WeightEstimate | None:
    """Return what a state of logarithms of weights says, in kilograms."""
    found = estimate(state)
    if state is None or found is None:
        return None
    kg = math.exp(found.level)
    percent = math.expm1(state.rate * WEEK_DAYS) if found.enough else None
    return WeightEstimate(
        kg=kg,
        low=math.exp(found.low),
        high=math.exp(found.high),
        percent_per_week=None if percent is None else 100 * percent,
        kg_per_week=None if percent is None else kg * percent,
        reason=found.reason,
    )


def score_reading(at: datetime, sixths: int, scale: str) -> Reading:
    """Return a palpated overall, in sixths of a point, as the trend reads it: the exact mean."""
    return Reading(at, sixths / 6, SCORE_NOISE[scale], scale)


def weight_reading(at: datetime, kg: float, method: str) -> Reading:
    """Return a weighing as the trend reads it: the logarithm of its kilograms."""
    return Reading(at, math.log(kg), WEIGHT_NOISE[method], "weight")
