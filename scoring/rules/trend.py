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

What readings of one hand or instrument are all off by is no noise: ``trend_shared`` has how a state
keeps it. A state's own covariance is that of the readings alone; ``whole`` has all there is.

Units are those of the values: points, or the logarithm of kilograms; rates and drifts by the day.
Plain floats: this is on the way of every page and every reading.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from scoring.rules import baseline, checked, trend_shared
from scoring.rules.doubts import Doubts
from scoring.rules.trend_shared import Shared

DAY = 86400.0
MONTH_DAYS, WEEK_DAYS = 365.25 / 12, 7.0

# What a value, a noise and a model may be; noise is a standard deviation in the value's unit.
MOST_VALUE, LEAST_NOISE, MOST_NOISE, MOST_SPEED = 1e9, 1e-6, 1e6, 1e6
# More than any of these comes to.
MOST_VARIANCE = 1e100


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


# A quarter point a month at the start, drifting a tenth of a point a month in a month: assumed by
# us, no source found. Beside it: obese ponies' scores did not move in 12 weeks of losing weight
# (Dugdale et al. 2010, Equine Veterinary Journal, read in its abstract).
SCORE = Model(rate_sd=0.25 / MONTH_DAYS, drift=(0.1 / MONTH_DAYS) ** 2 / MONTH_DAYS)
# Three per cent a month at the start, drifting one per cent a month in a month: assumed by us.
# Beside it: 0.7 ± 0.1% a week on a strict diet after its first week (Dugdale et al. 2010).
WEIGHT = Model(rate_sd=0.03 / MONTH_DAYS, drift=(0.01 / MONTH_DAYS) ** 2 / MONTH_DAYS)


class OutOfOrder(ValueError):
    """A reading older than the state: filter its whole series again."""


class State(NamedTuple):
    """What a filter knows after a reading: level and rate a day, with their covariance.

    ``at`` and ``first_at`` are seconds since 1970; ``count`` the readings of this baseline. The
    covariance is what would be left were every offset known; ``shared`` holds what they add.
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
    shared: Shared = trend_shared.NONE

    def plain(self) -> dict[str, Any]:
        """Return the state as a row's JSON holds it."""
        return {**self._asdict(), "shared": trend_shared.plain(self.shared)}

    @classmethod
    def of(cls, plain: Mapping[str, Any] | None) -> "State | None":
        """Return the state that a row's JSON holds, or None; one without ``shared`` is old."""
        if plain is None:
            return None
        shared = trend_shared.of(plain.get("shared"), plain["series"])
        return cls(**{**plain, "shared": shared})


class Reading(NamedTuple):
    """One value of a series, and the standard deviation of its measurement.

    ``offset`` is what the hand and the instrument are estimated to read too high. ``doubts`` are
    how unsure that is: by key, what all readings of that key share, one standard deviation.
    """

    at: datetime
    value: float
    noise: float
    series: str
    offset: float = 0.0
    doubts: Doubts = ()


def step(
    state: State | None,
    at: datetime,
    value: float,
    noise: float,
    *,
    model: Model = SCORE,
    series: str = "",
    offset: float = 0.0,
    doubts: Doubts = (),
    resets: Sequence[baseline.Reset] = (),
) -> State:
    """Return the state after one more reading, which must not be older than the last.

    ``resets`` are all of this measure's, whenever they were. Raises OutOfOrder for an older
    reading, OutOfRange for a value (up to 1e9 either way), offset, noise (1e-6 to 1e6) or
    doubt (``offset_sd``, 0 to 1e6) that cannot be, and for a time without a zone.
    """
    seconds = checked.instant(at)
    value = used(value, noise, offset, doubts)
    if state is None:
        return _first(series, seconds, value, noise, model, doubts=doubts)
    if seconds < state.at:
        raise OutOfOrder(at.isoformat())
    if baseline.why(state.at, state.series, seconds, series, resets):
        return _first(series, seconds, value, noise, model, doubts=doubts)
    return _updated(state, seconds, value, noise, model, doubts=doubts)


def take(
    state: State | None,
    reading: Reading,
    *,
    model: Model = SCORE,
    resets: Sequence[baseline.Reset] = (),
) -> State:
    """Return the state after one more reading; see ``step``."""
    at, value, noise, series, offset, doubts = reading
    return step(
        state,
        at,
        value,
        noise,
        model=model,
        series=series,
        offset=offset,
        doubts=doubts,
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
        value = used(each.value, each.noise, each.offset, each.doubts)
        if state is None:
            state = _first(each.series, seconds, value, each.noise, model, doubts=each.doubts)
        else:
            if seconds < state.at:
                raise OutOfOrder(each.at.isoformat())
            state = _updated(state, seconds, value, each.noise, model, doubts=each.doubts)
        yield state


def ahead(state: State, seconds: float, model: Model) -> State:
    """Return what is to be expected at a time not before the state's, without a reading."""
    days = (seconds - state.at) / DAY
    moved = _moved(state, days, model)
    return State(
        state.series,
        seconds,
        state.first_at,
        state.count,
        *moved,
        trend_shared.ahead(state.shared, days),
    )


def whole(state: State) -> State:
    """Return the state with all that is unsure in its covariance, that of offsets too."""
    if not state.shared:
        return state
    level_var, cross, rate_var = trend_shared.covariance(state.shared)
    return state._replace(
        level_var=state.level_var + level_var,
        cross=state.cross + cross,
        rate_var=state.rate_var + rate_var,
        shared=trend_shared.NONE,
    )


def _moved(state: State, days: float, model: Model) -> tuple[float, float, float, float, float]:
    _, _, _, _, level, rate, level_var, cross, rate_var, _ = state
    gained = model.drift * days
    return (
        level + days * rate,
        rate,
        level_var + days * (2 * cross + days * (rate_var + gained / 3) + model.wander),
        cross + days * (rate_var + gained / 2),
        rate_var + gained,
    )


def _first(
    series: str, seconds: float, value: float, noise: float, model: Model, *, doubts: Doubts
) -> State:
    shared = trend_shared.first(doubts)
    variance = noise * noise, 0.0, model.rate_sd**2
    return State(series, seconds, seconds, 1, value, 0.0, *variance, shared)


def _updated(
    state: State, seconds: float, value: float, noise: float, model: Model, *, doubts: Doubts
) -> State:
    """Return the state after a reading of the same baseline.

    The covariance is made of sums and products of parts that are never below zero, so rounding
    takes no variance below it either; the determinant, the one difference, is held at zero.
    """
    days = (seconds - state.at) / DAY
    level, rate, level_var, cross, rate_var = _moved(state, days, model)
    error = noise * noise
    spread = level_var + error
    off, kept = (value - level) / spread, error / spread
    apart = level_var * rate_var - cross * cross
    return State(
        state.series,
        seconds,
        state.first_at,
        state.count + 1,
        level + level_var * off,
        rate + cross * off,
        level_var * kept,
        cross * kept,
        rate_var * kept + (apart / spread if apart > 0 else 0.0),
        trend_shared.read(state.shared, doubts, days, level_var / spread, cross / spread),
    )


def used(value: float, noise: float, offset: float, doubts: Doubts) -> float:
    """Return the value as it is used, without the offset; refuses what cannot be."""
    if not -MOST_VALUE <= value <= MOST_VALUE:
        checked.within("value", value, -MOST_VALUE, MOST_VALUE)
    if not LEAST_NOISE <= noise <= MOST_NOISE:
        checked.within("noise", noise, LEAST_NOISE, MOST_NOISE)
    trend_shared.held(doubts)
    if offset:
        return value - checked.within("offset", offset, -MOST_VALUE, MOST_VALUE)
    return value
