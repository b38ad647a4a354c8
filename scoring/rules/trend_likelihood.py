"""How likely readings are by the trend: what the fits of many series are held against.

Each given those before it, as if its offset were known: a fit has offsets of its own in its sums.
"""

import math
from collections.abc import Iterable, Sequence

from scoring.rules import baseline, checked, trend

_LN_2PI = math.log(2 * math.pi)


def of_one(
    state: trend.State | None,
    reading: trend.Reading,
    *,
    model: trend.Model = trend.SCORE,
    resets: Sequence[baseline.Reset] = (),
) -> float:
    """Return what one reading adds to the log-likelihood, given the state before it.

    Natural logarithm of the normal density of the reading as it was to be expected were its offset
    known, ln 2 pi included; 0 for the first of a baseline, which sets the state.
    """
    at = checked.instant(reading.at)
    value = trend.used(reading.value, reading.noise, reading.offset, reading.doubts)
    if state is None or baseline.why(state.at, state.series, at, reading.series, resets):
        return 0.0
    if at < state.at:
        raise trend.OutOfOrder(reading.at.isoformat())
    expected = trend.ahead(state, at, model)
    spread = expected.level_var + reading.noise * reading.noise
    off = value - expected.level
    return -0.5 * (_LN_2PI + math.log(spread) + off * off / spread)


def of(
    readings: Iterable[trend.Reading],
    *,
    model: trend.Model = trend.SCORE,
    resets: Sequence[baseline.Reset] = (),
) -> float:
    """Return the log-likelihood of readings in order: 0 for none, for one, and for all firsts."""
    state, total = None, 0.0
    for each in readings:
        total += of_one(state, each, model=model, resets=resets)
        state = trend.take(state, each, model=model, resets=resets)
    return total
