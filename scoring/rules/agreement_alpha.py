"""Krippendorff's alpha: agreement of any number of raters, whoever of them scored which horse.

Alpha is 1 less the disagreement seen within horses over that expected among all scores: 1 is full
agreement, 0 what chance would bring, below 0 worse than chance. Krippendorff 2011, Computing
Krippendorff's alpha-reliability, University of Pennsylvania, with the distances of nominal, ordinal
and interval data (from memory; the numbers are held against his data of 12 units and 4 observers
and against the krippendorff package).

Distances: ``nominal`` counts any difference alike; ``ordinal`` counts how many scores lie between;
``interval`` squares the difference. A condition score in half points is treated as ordinal, or as
interval when a half point is taken to mean the same all along the scale.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from scoring.rules import agreement_scores, checked

NOMINAL, ORDINAL, INTERVAL = "nominal", "ordinal", "interval"

LEAST_DRAWS, MOST_DRAWS = 100, 100_000


@dataclass(frozen=True, slots=True)
class Interval:
    """Alpha with a bootstrap interval, from so many ``draws`` of the horses.

    ``undefined`` draws, besides, held one level only: alpha is not defined there, and where they
    are more than a few the interval says little.
    """

    estimate: agreement_scores.Estimate
    draws: int
    undefined: int


def alpha(scores: agreement_scores.Table, distance: str = INTERVAL) -> float:
    """Return alpha, at most 1, of horses (rows) by raters (columns), any of them missing.

    A horse that fewer than two raters scored is left out, and so is a rater who scored nothing.
    Raises TooFew for fewer than 2 horses with two scores, Undefined where all scores are the same,
    OutOfRange for no table or an unknown distance.
    """
    metric = _metric(distance)
    counts, levels = _counted(scores)
    found = _alpha(counts, levels, metric)
    if found is None:
        raise agreement_scores.Undefined(
            "scores", "all scores are the same: nothing is left to chance"
        )
    return found


def interval(
    scores: agreement_scores.Table,
    distance: str = INTERVAL,
    *,
    generator: np.random.Generator,
    draws: int = 2000,
    confidence: float = 0.95,
) -> Interval:
    """Return alpha with the percentile interval of a bootstrap over horses.

    Horses, with all their scores, are drawn with replacement, 100 to 100,000 times; the generator
    is the caller's. Efron and Tibshirani 1993, An introduction to the bootstrap, 13.3 (from
    memory); it is too narrow for few horses, below some 20. Raises what ``alpha`` raises, and
    OutOfRange for the draws and for a confidence outside 0.5 to 0.9999.
    """
    checked.whole("draws", draws, LEAST_DRAWS, MOST_DRAWS)
    tail, value = agreement_scores.upper_tail(confidence), alpha(scores, distance)
    metric = _metric(distance)
    counts, levels = _counted(scores)
    horses = len(counts)
    tried = (
        _alpha(counts[generator.integers(0, horses, horses)], levels, metric) for _ in range(draws)
    )
    found = np.array([each for each in tried if each is not None])
    low, high = np.quantile(found, [tail, 1 - tail]) if found.size else (value, value)
    told = agreement_scores.estimate(value, float(low), float(high))
    return Interval(told, found.size, draws - found.size)


def _counted(
    scores: agreement_scores.Table,
) -> tuple[agreement_scores.Floats, agreement_scores.Floats]:
    """Return how often each horse got each level, and the levels; only horses scored twice."""
    given = agreement_scores.table("scores", scores)
    seen = ~np.isnan(given)
    paired = seen.sum(axis=1) >= 2
    agreement_scores.enough("horses", int(paired.sum()), 2)
    given, seen = given[paired], seen[paired]
    levels, which = np.unique(agreement_scores.apart(given[seen]), return_inverse=True)
    counts = np.zeros((len(given), levels.size))
    np.add.at(counts, (np.nonzero(seen)[0], which), 1.0)
    return counts, levels


def _alpha(
    counts: agreement_scores.Floats,
    levels: agreement_scores.Floats,
    metric: Callable[[agreement_scores.Floats, agreement_scores.Floats], agreement_scores.Floats],
) -> float | None:
    """Return alpha, or None where all scores are the same."""
    each = counts.sum(axis=1)
    totals = counts.sum(axis=0)
    whole = float(totals.sum())
    shared = counts / (each - 1)[:, None]
    # Pairs of scores within horses, each horse's weighing as many as it has scores.
    within = shared.T @ counts - np.diag(shared.sum(axis=0))
    apart = metric(levels, totals)
    chance = float(totals @ apart @ totals)
    if chance <= 0:
        return None
    return 1 - (whole - 1) * float((within * apart).sum()) / chance


def _nominal(
    levels: agreement_scores.Floats, totals: agreement_scores.Floats
) -> agreement_scores.Floats:
    return 1 - np.eye(levels.size)


def _ordinal(
    levels: agreement_scores.Floats, totals: agreement_scores.Floats
) -> agreement_scores.Floats:
    """Return the squares of how many scores lie from one level to the other, their own by half."""
    middle = np.cumsum(totals) - totals / 2
    return (middle[:, None] - middle) ** 2


def _interval(
    levels: agreement_scores.Floats, totals: agreement_scores.Floats
) -> agreement_scores.Floats:
    return (levels[:, None] - levels) ** 2


_METRICS = {NOMINAL: _nominal, ORDINAL: _ordinal, INTERVAL: _interval}


def _metric(
    distance: str,
) -> Callable[[agreement_scores.Floats, agreement_scores.Floats], agreement_scores.Floats]:
    if distance not in _METRICS:
        raise checked.OutOfRange("distance", ", ".join(_METRICS))
    return _METRICS[distance]
