"""Invented horses of which the truth is known: levels and rates drawn from the trend's own law."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from scoring.rules import trend, trend_case
from scoring.rules.trend_panel import Floats, Ints


class Herd(NamedTuple):
    """Times, and the true level and rate a day then, by horse and time."""

    horse: Ints
    days: Floats
    level: Floats
    rate: Floats

    @property
    def size(self) -> int:
        """How many readings there are."""
        return self.horse.size

    @property
    def last(self) -> NDArray[np.bool_]:
        """Which is its horse's last."""
        return np.append(self.horse[1:] != self.horse[:-1], True)


def herd(
    rng: np.random.Generator, *, horses: int, readings: tuple[int, int], model: trend.Model
) -> Herd:
    """Return horses with readings between so many, fortnightly to monthly, with some gaps.

    One interval in 20 is of 45 to 115 days, one in 100 of more than 120. Levels start from 2 to 4,
    rates as the model starts them, and no end of a scale stops them.
    """
    most = readings[1]
    gaps = rng.uniform(12.0, 34.0, (most, horses))
    kind = rng.random((most, horses))
    gaps = np.where(kind < 0.05, rng.uniform(45.0, 115.0, gaps.shape), gaps)
    gaps = np.where(kind > 0.99, rng.uniform(125.0, 160.0, gaps.shape), gaps)
    gaps[0] = rng.uniform(0.0, 60.0, horses)
    level, rate = np.empty_like(gaps), np.empty_like(gaps)
    level[0], rate[0] = rng.uniform(2.0, 4.0, horses), rng.normal(0.0, model.rate_sd, horses)
    for step in range(1, most):
        days, (one, two) = gaps[step], rng.normal(size=(2, horses))
        turned = np.sqrt(model.drift * days) * one
        moved = days / 2 * turned + np.sqrt(model.drift * days**3 / 12) * two
        level[step] = level[step - 1] + days * rate[step - 1] + moved
        rate[step] = rate[step - 1] + turned
    has = (np.arange(most)[:, None] < rng.integers(readings[0], most, horses, endpoint=True)).T
    return Herd(np.nonzero(has)[0], np.cumsum(gaps, axis=0).T[has], level.T[has], rate.T[has])


def readings(
    found: Herd,
    value: Floats,
    *,
    method: str | Sequence[str],
    series: str = "",
    assessor: str | Sequence[str] = "",
    instrument: str | Sequence[str] = "",
) -> trend_case.Readings:
    """Return readings of a herd; one key may do for all, and the series is the method's."""
    keys = [
        [each] * found.size if isinstance(each, str) else each
        for each in (series or method, method, assessor, instrument)
    ]
    return trend_case.Readings(found.horse, found.days, value, *keys)
