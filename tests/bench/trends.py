"""The trend's arithmetic: the batch form against statsmodels and numpy, the step against a loop.

No database. statsmodels smooths a sample of the same horses, by its leanest way that takes
irregular dates, and its time is told for all of them.
"""

import dataclasses
import itertools
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

import numpy as np

from scoring.rules import trend, trend_batch, trend_panel
from tests.bench import measure
from tests.bench.measure import Arm
from tests.oracles import initialization, kalman_smoother

MODEL, NOISE = trend.SCORE, 0.3
START = datetime(2025, 1, 1, tzinfo=UTC)


class Herd(NamedTuple):
    """Horses by readings: days and values."""

    days: Any
    value: Any


def herd(horses: int, readings: int) -> Herd:
    """Return invented scores, one to five weeks apart, of a fixed seed."""
    rng = np.random.default_rng(130)
    days = np.cumsum(rng.integers(7, 36, (horses, readings)), axis=1).astype(np.float64)
    return Herd(days, 3 + rng.normal(0, 0.4, days.shape))


def comparisons(
    *, horses: int, readings: int, sample: int, steps: int, rounds: int
) -> Iterator[measure.Comparison]:
    """Compare, and yield as it comes."""
    made = herd(horses, readings)
    name = f"filter and smoother, {horses} horses of {readings} readings"
    ours, theirs = whole(made), sampled(made, sample)
    _same(made, sample)
    against = f"statsmodels, told from {sample} of the horses"
    found = measure.compare(name, ours, against, theirs, rounds=rounds)
    told = tuple(each * horses / sample for each in found.floor)
    yield dataclasses.replace(found, floor=told)
    ours, floor = laid(made)
    yield measure.compare(f"{name}, laid", ours, "one sum over them by numpy", floor, rounds=rounds)
    ours, floor = stepped(steps)
    yield measure.compare(
        f"{steps} steps of the filter", ours, "the same sums in one loop", floor, rounds=rounds
    )


def whole(made: Herd) -> Callable[[], Any]:
    """Lay the readings, smooth them, and give levels and variances back as they came."""
    horse = np.repeat(np.arange(made.days.shape[0]), made.days.shape[1])
    days, value = made.days.ravel(), made.value.ravel()

    def ours() -> Any:
        panel = trend_panel.arrange(horse, days)
        known = trend_batch.smoothed(panel, value, NOISE, model=MODEL)
        return panel.given(known.level), panel.given(known.level_var)

    return ours


def sampled(made: Herd, sample: int) -> Callable[[], Any]:
    """Smooth each of a sample of horses by statsmodels."""

    def theirs() -> Any:
        rows = zip(made.days[:sample], made.value[:sample], strict=True)
        return [_statsmodels(days, value) for days, value in rows]

    return theirs


def _statsmodels(days: Any, value: Any) -> tuple[Any, Any]:
    """Return smoothed levels and their variances."""
    gaps = np.append(np.diff(days), 1.0)
    one, none = np.ones_like(gaps), np.zeros_like(gaps)
    crossed = MODEL.drift * gaps**2 / 2
    lean = kalman_smoother.SMOOTHER_STATE | kalman_smoother.SMOOTHER_STATE_COV
    found = kalman_smoother.KalmanSmoother(
        k_endog=1,
        k_states=2,
        k_posdef=2,
        nobs=value.size,
        design=np.array([[1.0, 0.0]]),
        obs_cov=np.array([[NOISE**2]]),
        selection=np.eye(2),
        transition=np.array([[one, gaps], [none, one]]),
        state_cov=np.array([[MODEL.drift * gaps**3 / 3, crossed], [crossed, MODEL.drift * gaps]]),
        smoother_output=lean,
    )
    found.bind(value)
    start = initialization.Initialization(2)
    start.set(0, "diffuse")
    start.set(1, "known", constant=[0.0], stationary_cov=[[MODEL.rate_sd**2]])
    found.initialize(start)
    result = found.smooth()
    return result.smoothed_state[0], result.smoothed_state_cov[0, 0]


def _same(made: Herd, sample: int) -> None:
    """Hold both to the same numbers, so that the same is timed."""
    level, variance = (each.reshape(made.days.shape) for each in whole(made)())
    for row, theirs in enumerate(sampled(made, sample)()):
        if not np.allclose((level[row], variance[row]), theirs, rtol=1e-8):
            raise RuntimeError("the batch and statsmodels differ")


def laid(made: Herd) -> tuple[Arm, Arm]:
    """Filter and smooth what lies ready; against one pass over the same numbers."""
    horses, readings = made.days.shape
    panel = trend_panel.arrange(np.repeat(np.arange(horses), readings), made.days.ravel())
    value, noise = made.value.ravel(), np.full(made.value.size, NOISE)

    def ours() -> None:
        trend_batch.smoothed(panel, value, noise, model=MODEL)

    def floor() -> Any:
        return value + panel.gap * noise

    return ours, floor


def stepped(steps: int) -> tuple[Arm, Arm]:
    """Step the scalar filter; against its sums alone, in a loop over floats that checks nothing."""
    at = [START + timedelta(days=14 * n) for n in range(steps)]
    values = [3 + 0.1 * (n % 7) for n in range(steps)]

    def ours() -> trend.State | None:
        state = None
        for when, value in zip(at, values, strict=True):
            state = trend.step(state, when, value, NOISE, model=MODEL, series="five")
        return state

    seconds = [each.timestamp() for each in at]

    def floor() -> tuple[float, ...]:
        return bare(seconds, values)

    state = ours()
    if state is None or abs(state.level - floor()[0]) > 1e-9:
        raise RuntimeError("the step and the loop differ")
    return ours, floor


def bare(seconds: list[float], values: list[float]) -> tuple[float, ...]:
    """Return level, rate and covariance after a baseline."""
    drift, error = MODEL.drift, NOISE**2
    level, rate = values[0], 0.0
    p, c, v = error, 0.0, MODEL.rate_sd**2
    for (before, now), value in zip(itertools.pairwise(seconds), values[1:], strict=True):
        days = (now - before) / 86400.0
        gained = drift * days
        level += days * rate
        p += days * (2 * c + days * (v + gained / 3))
        c += days * (v + gained / 2)
        v += gained
        spread = p + error
        off, kept = (value - level) / spread, error / spread
        level += p * off
        rate += c * off
        apart = p * v - c * c
        p, c, v = p * kept, c * kept, v * kept + apart / spread
    return level, rate, p, c, v
