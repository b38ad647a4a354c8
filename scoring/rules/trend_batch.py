"""The trend of very many series at once, by numpy: filter, smoother and log-likelihood.

The same model and the same start as ``trend``, with whose own covariance it agrees to 1e-9; only a
worker loads it. What readings of one hand share it leaves out: it serves the likelihood, and a fit
has the offsets in its sums. How the readings lie is ``trend_panel``'s.

The smoother is the one of Bryson and Frazier, with the sums of de Jong 1989, Journal of the
American Statistical Association 84:1085 (from memory; the numbers are held against statsmodels):
it inverts nothing, so it holds where a rate is known without doubt.

Values in the unit of the series, times in days, noises as standard deviations.
"""

import itertools
import math
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from scoring.rules import checked, trend
from scoring.rules.trend_panel import Floats, Panel

# Baselines that are worked on together: their numbers stay in the processor's cache.
BLOCK = 8192


@dataclass(frozen=True, slots=True, eq=False)
class Known:
    """Level and rate a day with their covariance at each reading, as they lie in the panel.

    ``spread`` is the variance that the filter expected of the reading itself: its own noise for the
    first of a baseline.
    """

    level: Floats
    rate: Floats
    level_var: Floats
    cross: Floats
    rate_var: Floats
    spread: Floats


def filtered(
    panel: Panel, value: ArrayLike, noise: ArrayLike, *, model: trend.Model = trend.SCORE
) -> Known:
    """Return what is known after each reading from it and those before it in its baseline.

    Values and noises in the order in which the readings were given, or one for all.
    Raises OutOfRange for a value (up to 1e9 either way) or noise (1e-6 to 1e6) that cannot be.
    """
    laid = _laid(panel, value, noise)
    known = _unknown(laid)
    for steps in panel.blocks(BLOCK):
        _filter(known, steps, laid, model)
    return known


def smoothed(
    panel: Panel, value: ArrayLike, noise: ArrayLike, *, model: trend.Model = trend.SCORE
) -> Known:
    """Return what is known at each reading from all readings of its baseline; see ``filtered``."""
    laid = _laid(panel, value, noise)
    known = _unknown(laid)
    for steps in panel.blocks(BLOCK):
        _filter(known, steps, laid, model)
        later = [np.zeros(steps[0].stop - steps[0].start) for _ in range(5)]
        for number in range(len(steps) - 1, -1, -1):
            now = steps[number]
            seen = _before(known, steps[number - 1], now, laid) if number else None
            _correct(known, now, later)
            if seen:
                _carry(later, seen)
    return known


def log_likelihood(
    panel: Panel, value: ArrayLike, noise: ArrayLike, *, model: trend.Model = trend.SCORE
) -> float:
    """Return the log-likelihood of all readings together, the first of a baseline counting nothing.

    Natural logarithm, ln 2 pi included, as ``trend_likelihood.of``; see ``filtered``.
    """
    laid = _laid(panel, value, noise)
    known = _unknown(laid)
    for steps in panel.blocks(BLOCK):
        _filter(known, steps, laid, model)
    later = slice(panel.firsts, None)
    off = (laid.value[later] - known.level[later]) / laid.variance[later]
    spread = known.spread[later]
    apart = float(np.log(spread).sum() + np.dot(off * off, spread))
    return -0.5 * (spread.size * math.log(2 * math.pi) + apart)


class _Laid(NamedTuple):
    """Readings as they lie: days since the one before, value, variance of the measurement."""

    gap: Floats
    value: Floats
    variance: Floats


class _Seen(NamedTuple):
    """What one step's readings told the filter, kept for what came before them."""

    gap: Floats
    off: Floats  # the surprise, over the variance expected of it
    kept: Floats  # how much of the level expected the reading left
    rate_gain: Floats
    sure: Floats  # one over that variance


def _unknown(laid: _Laid) -> Known:
    return Known(*(np.empty(laid.gap.size) for _ in range(6)))


def _filter(known: Known, steps: list[slice], laid: _Laid, model: trend.Model) -> None:
    """Work out what is known after each reading of some baselines."""
    first = steps[0]
    known.level[first], known.rate[first] = laid.value[first], 0.0
    known.level_var[first], known.cross[first] = laid.variance[first], 0.0
    known.rate_var[first], known.spread[first] = model.rate_sd**2, laid.variance[first]
    for before, now in itertools.pairwise(steps):
        _forward(known, before, now, laid, model)


def _forward(known: Known, before: slice, now: slice, laid: _Laid, model: trend.Model) -> None:
    """Work out what is known after one step's readings, in the sums of ``trend``."""
    gap, value, variance = laid.gap[now], laid.value[now], laid.variance[now]
    before = slice(before.start, before.start + gap.size)
    level_var, cross, rate_var = _ahead(known, before, gap, model)
    spread = level_var + variance
    rate = known.rate[before]
    sure = 1 / spread
    level = gap * rate
    level += known.level[before]
    off = value - level
    off *= sure
    kept = variance * sure
    apart = level_var * rate_var
    apart -= cross * cross
    np.maximum(apart, 0.0, out=apart)
    apart *= sure
    known.spread[now] = spread
    np.add(level, level_var * off, out=known.level[now])
    np.add(rate, cross * off, out=known.rate[now])
    np.multiply(level_var, kept, out=known.level_var[now])
    np.multiply(cross, kept, out=known.cross[now])
    np.multiply(rate_var, kept, out=rate_var)
    np.add(rate_var, apart, out=known.rate_var[now])


def _ahead(
    known: Known, before: slice, gap: Floats, model: trend.Model
) -> tuple[Floats, Floats, Floats]:
    """Return the covariance to be expected so many days after what is known at some places."""
    rate_var = known.rate_var[before]
    gained = model.drift * gap
    cross = gained / 2
    cross += rate_var
    cross *= gap
    level_var = gained / 3
    level_var += rate_var
    level_var *= gap
    level_var += 2 * known.cross[before]
    level_var += model.wander
    level_var *= gap
    level_var += known.level_var[before]
    cross += known.cross[before]
    gained += rate_var
    return level_var, cross, gained


def _before(known: Known, before: slice, now: slice, laid: _Laid) -> _Seen:
    """Return what the step told, from what the filter knew on both sides of it."""
    gap, variance, sure = laid.gap[now], laid.variance[now], 1 / known.spread[now]
    before = slice(before.start, before.start + gap.size)
    off = laid.value[now] - known.level[before]
    off -= gap * known.rate[before]
    off *= sure
    return _Seen(gap, off, variance * sure, known.cross[now] / variance, sure)


def _correct(known: Known, now: slice, later: list[Floats]) -> None:
    """Bring in what later readings tell of one step: their weighed surprises and their weights."""
    width = now.stop - now.start
    pull, rate_pull, weight, mixed, rate_weight = (each[:width] for each in later)
    p, c, v = known.level_var[now], known.cross[now], known.rate_var[now]
    level, rate = known.level[now], known.rate[now]
    level += p * pull
    level += c * rate_pull
    rate += c * pull
    rate += v * rate_pull
    one, two = p * weight, p * mixed
    one += c * mixed
    two += c * rate_weight
    three, four = c * weight, c * mixed
    three += v * mixed
    four += v * rate_weight
    crossed = c - one * c - two * v
    # Rounding takes no variance below zero.
    known.rate_var[now] = np.maximum(v - three * c - four * v, 0.0)
    known.level_var[now] = np.maximum(p - one * p - two * c, 0.0)
    known.cross[now] = crossed


def _carry(later: list[Floats], seen: _Seen) -> None:
    """Carry what later readings tell over one step's readings, and over the days before them."""
    gap, off, kept, gain, sure = seen
    pull, rate_pull, weight, mixed, rate_weight = (each[: gap.size] for each in later)
    pull *= kept
    pull -= gain * rate_pull
    pull += off
    rate_pull += gap * pull
    # Before the readings: the mixed weight, then the level's, from it and the old mixed one.
    old = kept * mixed
    mixed *= kept
    mixed -= gain * rate_weight
    weight *= kept * kept
    weight -= gain * (old + mixed)
    weight += sure
    rate_weight += gap * (2 * mixed + gap * weight)
    mixed += gap * weight


def _laid(panel: Panel, value: ArrayLike, noise: ArrayLike) -> _Laid:
    """Return readings as they lie, checked: a value or noise that is no number is none of these."""
    values, noises = panel.laid(value), panel.laid(noise)
    if values.size:
        least, most = float(values.min()), float(values.max())
        checked.within("value", least, -trend.MOST_VALUE, trend.MOST_VALUE)
        checked.within("value", most, -trend.MOST_VALUE, trend.MOST_VALUE)
        checked.within("noise", float(noises.min()), trend.LEAST_NOISE, trend.MOST_NOISE)
        checked.within("noise", float(noises.max()), trend.LEAST_NOISE, trend.MOST_NOISE)
    return _Laid(panel.gap, values, noises * noises)
