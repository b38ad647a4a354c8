"""Level and rate of change of one series of readings, filtered a reading at a time.

A local linear trend in continuous time: a level that moves by a rate, and a rate that drifts as
integrated white noise, so that any two dates may lie any time apart. Over ``d`` days level and rate
go to ``[[1, d], [0, 1]]`` of themselves, and their covariance gains
``drift * [[d**3 / 3, d**2 / 2], [d**2 / 2, d]]``. Sources: Harvey 1989, Forecasting, structural
time series models and the Kalman filter, on continuous time; Durbin and Koopman 2012, Time series
analysis by state space methods (both from memory; the numbers are held against statsmodels).

The first reading of a baseline sets the level, with the reading's own variance, and a rate of 0
with the model's; it counts nothing in the likelihood. That is what an exact diffuse start of the
level gives, whose likelihood counts ``-ln(2 pi) / 2`` more for the first.

Units are those of the values: points, or the logarithm of kilograms; rates and drifts by the day.
Plain floats: this is on the way of every page and every reading.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from scoring.rules import baseline, checked

DAY = 86400.0
MONTH_DAYS, WEEK_DAYS = 365.25 / 12, 7.0

# What a value, a noise and a model may be; noise is a standard deviation in the value's unit.
MOST_VALUE, LEAST_NOISE, MOST_NOISE, MOST_SPEED = 1e9, 1e-6, 1e6, 1e6
_LN_2PI = math.log(2 * math.pi)


@dataclass(frozen=True, slots=True)
class Model:
    """How fast a rate may be at the start, and how it drifts, in units a day.

    ``drift`` is the spectral density of the rate's white noise, units squared a day cubed;
    ``wander`` that of a white noise on the level itself, units squared a day, which our measures
    have none of. Each from 0 to 1e6.
    """

    rate_sd: float
    drift: float
    wander: float = 0.0

    def __post_init__(self) -> None:
        for field in ("rate_sd", "drift", "wander"):
            checked.within(field, getattr(self, field), 0.0, MOST_SPEED)


# A quarter point a month at the start, drifting a tenth of a point a month in a month.
SCORE = Model(rate_sd=0.25 / MONTH_DAYS, drift=(0.1 / MONTH_DAYS) ** 2 / MONTH_DAYS)
# Three per cent a month at the start, drifting one per cent a month in a month.
WEIGHT = Model(rate_sd=0.03 / MONTH_DAYS, drift=(0.01 / MONTH_DAYS) ** 2 / MONTH_DAYS)


class OutOfOrder(ValueError):
    """A reading older than the state: filter its whole series again."""


class State(NamedTuple):
    """What a filter knows after a reading: level and rate a day, with their covariance.

    ``at`` and ``first_at`` are seconds since 1970; ``count`` the readings of this baseline.
    """

    series: str
    at: float
    first_at: float
    count: int  # type: ignore[assignment]  # a tuple's method of that name is not missed
    level: float
    rate: float
    level_var: float
    cross: float
    rate_var: float

    def plain(self) -> dict[str, Any]:
        """Return the state as a row's JSON holds it."""
        return self._asdict()

    @classmethod
    def of(cls, plain: Mapping[str, Any] | None) -> "State | None":
        """Return the state that a row's JSON holds, or None."""
        return None if plain is None else cls(**plain)


class Reading(NamedTuple):
    """One value of a series, and the standard deviation of its measurement.

    ``offset`` is what the hand or the instrument is estimated to read too high, ``offset_sd`` how
    unsure that is. The error of an offset is taken as new at each reading although the readings of
    one hand share it: where one hand did all, the level's interval is a little too narrow.
    """

    at: datetime
    value: float
    noise: float
    series: str
    offset: float = 0.0
    offset_sd: float = 0.0


def step(
    state: State | None,
    at: datetime,
    value: float,
    noise: float,
    *,
    model: Model = SCORE,
    series: str = "",
    offset: float = 0.0,
    offset_sd: float = 0.0,
    resets: Sequence[baseline.Reset] = (),
) -> State:
    """Return the state after one more reading, which must not be older than the last.

    ``resets`` are all of this measure's, whenever they were. Raises OutOfOrder for an older
    reading, OutOfRange for a value (up to 1e9 either way), offset, noise (1e-6 to 1e6) or
    ``offset_sd`` (0 to 1e6) that cannot be, and for a time without a zone.
    """
    seconds = checked.instant(at)
    value, noise = _used(value, noise, offset, offset_sd)
    if state is None:
        return _first(series, seconds, value, noise, model)
    if seconds < state.at:
        raise OutOfOrder(at.isoformat())
    if baseline.why(state.at, state.series, seconds, series, resets):
        return _first(series, seconds, value, noise, model)
    return _updated(state, seconds, value, noise, model)


def take(
    state: State | None,
    reading: Reading,
    *,
    model: Model = SCORE,
    resets: Sequence[baseline.Reset] = (),
) -> State:
    """Return the state after one more reading; see ``step``."""
    at, value, noise, series, offset, offset_sd = reading
    return step(
        state,
        at,
        value,
        noise,
        model=model,
        series=series,
        offset=offset,
        offset_sd=offset_sd,
        resets=resets,
    )


def refilter(
    readings: Iterable[Reading],
    *,
    model: Model = SCORE,
    resets: Sequence[baseline.Reset] = (),
) -> State | None:
    """Return the state after readings that are in order; None when there are none."""
    state = None
    for each in readings:
        state = take(state, each, model=model, resets=resets)
    return state


def filtered(readings: Iterable[Reading], *, model: Model = SCORE) -> Iterator[State]:
    """Yield the state after each reading of one baseline, which are in order."""
    state = None
    for each in readings:
        seconds = checked.instant(each.at)
        value, noise = _used(each.value, each.noise, each.offset, each.offset_sd)
        if state is None:
            state = _first(each.series, seconds, value, noise, model)
        else:
            if seconds < state.at:
                raise OutOfOrder(each.at.isoformat())
            state = _updated(state, seconds, value, noise, model)
        yield state


def log_likelihood_of(
    state: State | None,
    reading: Reading,
    *,
    model: Model = SCORE,
    resets: Sequence[baseline.Reset] = (),
) -> float:
    """Return what one reading adds to the log-likelihood, given the state before it.

    Natural logarithm of the normal density of the reading as it was to be expected, ln 2 pi
    included; 0 for the first of a baseline, which sets the state.
    """
    at = checked.instant(reading.at)
    value, noise = _used(reading.value, reading.noise, reading.offset, reading.offset_sd)
    if state is None or baseline.why(state.at, state.series, at, reading.series, resets):
        return 0.0
    if at < state.at:
        raise OutOfOrder(reading.at.isoformat())
    expected = ahead(state, at, model)
    spread = expected.level_var + noise * noise
    off = value - expected.level
    return -0.5 * (_LN_2PI + math.log(spread) + off * off / spread)


def log_likelihood(
    readings: Iterable[Reading],
    *,
    model: Model = SCORE,
    resets: Sequence[baseline.Reset] = (),
) -> float:
    """Return the log-likelihood of readings in order: 0 for none, for one, and for all firsts."""
    state, total = None, 0.0
    for each in readings:
        total += log_likelihood_of(state, each, model=model, resets=resets)
        state = take(state, each, model=model, resets=resets)
    return total


def ahead(state: State, seconds: float, model: Model) -> State:
    """Return what is to be expected at a time not before the state's, without a reading."""
    series, at, first_at, count, level, rate, level_var, cross, rate_var = state
    days = (seconds - at) / DAY
    gained = model.drift * days
    return State(
        series,
        seconds,
        first_at,
        count,
        level + days * rate,
        rate,
        level_var + days * (2 * cross + days * (rate_var + gained / 3) + model.wander),
        cross + days * (rate_var + gained / 2),
        rate_var + gained,
    )


def _first(series: str, seconds: float, value: float, noise: float, model: Model) -> State:
    return State(series, seconds, seconds, 1, value, 0.0, noise * noise, 0.0, model.rate_sd**2)


def _updated(state: State, seconds: float, value: float, noise: float, model: Model) -> State:
    """Return the state after a reading of the same baseline.

    The covariance is made of sums and products of parts that are never below zero, so rounding
    takes no variance below it either; the determinant, the one difference, is held at zero.
    """
    series, _, first_at, count, level, rate, level_var, cross, rate_var = ahead(
        state, seconds, model
    )
    error = noise * noise
    spread = level_var + error
    off, kept = (value - level) / spread, error / spread
    apart = level_var * rate_var - cross * cross
    return State(
        series,
        seconds,
        first_at,
        count + 1,
        level + level_var * off,
        rate + cross * off,
        level_var * kept,
        cross * kept,
        rate_var * kept + (apart / spread if apart > 0 else 0.0),
    )


def _used(value: float, noise: float, offset: float, offset_sd: float) -> tuple[float, float]:
    """Return value and noise as they are used: without the offset, and with its doubt."""
    if not -MOST_VALUE <= value <= MOST_VALUE:
        checked.within("value", value, -MOST_VALUE, MOST_VALUE)
    if not LEAST_NOISE <= noise <= MOST_NOISE:
        checked.within("noise", noise, LEAST_NOISE, MOST_NOISE)
    if offset or offset_sd:
        checked.within("offset", offset, -MOST_VALUE, MOST_VALUE)
        checked.within("offset_sd", offset_sd, 0.0, MOST_NOISE)
        return value - offset, math.hypot(noise, offset_sd)
    return value, noise
