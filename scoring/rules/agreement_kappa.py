"""Kappa: how far two raters agree beyond what their own habits would bring about by chance.

Cohen 1960, Educational and Psychological Measurement 20:37, and with weights Cohen 1968,
Psychological Bulletin 70:213; standard error of Fleiss, Cohen and Everitt 1969, Psychological
Bulletin 72:323, for large numbers of horses (all from memory; the numbers are held against Cohen's
table, scikit-learn and statsmodels).

Weights are of disagreement: 0 where both say the same, and the larger the worse. On a scale with an
order use quadratic or linear ones: without weights half a point is as bad as five. Quadratic kappa
is Lin's concordance correlation with n as divisor. The distance of two levels is that of their
numbers, so levels that nobody used change nothing.

Kappa falls when one level is much commoner than the others, however well the raters agree; tell the
share of equal scores beside it. The interval is a rough one below some 30 horses.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scoring.rules import agreement_scores, checked, distributions

NONE, LINEAR, QUADRATIC = "none", "linear", "quadratic"
Counts = Sequence[Sequence[float]] | NDArray[Any]
Weights = str | Counts

MOST_WEIGHT = 1e9
# Scores are on a level when no further off than this.
_NEAR = 1e-9
# Spread below this part of the disagreement is only rounding.
_ROUNDING = 1e-12


@dataclass(frozen=True, slots=True)
class Kappa:
    """Kappa and what it is made of.

    ``estimate`` has the interval, cut off at what kappa can be; ``standard_error`` is 0 where the
    formula has nothing to go by, as of raters who never differ, and then there is no interval.
    ``disagreement`` seen, and that expected ``by_chance``, are mean weights: shares of the horses
    with ``none``, in the unit of the scores with ``linear``, in its square with ``quadratic``.
    ``count`` is of horses scored by both.
    """

    estimate: agreement_scores.Estimate
    standard_error: float
    disagreement: float
    by_chance: float
    count: float


def kappa(
    first: agreement_scores.Scores,
    second: agreement_scores.Scores,
    *,
    weights: Weights = QUADRATIC,
    levels: Sequence[float] | None = None,
    confidence: float = 0.95,
) -> Kappa:
    """Return kappa of two raters' scores of the same horses, in one order.

    Horses that either did not score are left out. ``levels`` are those of the scale, rising; left
    out, they are the scores that occur. ``weights`` is ``none``, ``linear``, ``quadratic``, or a
    square table by level, first rater's row, second's column, which needs ``levels``.
    Raises TooFew for fewer than 2 pairs, Undefined where both used one and the same level only,
    OutOfRange for scores off the levels, for weights and for a confidence outside 0.5 to 0.9999.
    """
    one, two = (agreement_scores.apart(each) for each in agreement_scores.pairs(first, second))
    agreement_scores.enough("pairs", one.size, 2)
    if levels is None and not isinstance(weights, str):
        raise checked.OutOfRange("levels", "those of the table of weights")
    used = np.unique(np.concatenate((one, two))) if levels is None else _levels(levels)
    counts = np.zeros((used.size, used.size))
    np.add.at(counts, (_on("first", one, used), _on("second", two, used)), 1.0)
    return of_counts(counts, weights=weights, levels=used, confidence=confidence)


def of_counts(
    counts: Counts,
    *,
    weights: Weights = QUADRATIC,
    levels: Sequence[float] | agreement_scores.Floats | None = None,
    confidence: float = 0.95,
) -> Kappa:
    """Return kappa of a square table: horses by the first rater's level and by the second's.

    ``levels`` are 0, 1, 2 and so on when left out. See ``kappa``.
    """
    tail, table = agreement_scores.upper_tail(confidence), _square("counts", counts)
    used = np.arange(len(table), dtype=np.float64) if levels is None else _levels(levels)
    if used.size != len(table):
        raise checked.OutOfRange("levels", "one for each row of the table")
    worse, count = _disagreements(weights, used), float(table.sum())
    agreement_scores.enough("pairs", int(count), 2)
    shares = table / count
    rows, columns = shares.sum(axis=1), shares.sum(axis=0)
    seen, chance = float((worse * shares).sum()), float(rows @ worse @ columns)
    if chance <= 0:
        raise agreement_scores.Undefined(
            "scores", "no disagreement comes by chance, as when both raters use one level only"
        )
    found = 1 - seen / chance
    # The formula of 1969 told in disagreements: the variance of what each horse adds.
    expected = (worse @ columns)[:, None] + (rows @ worse)[None, :]
    spread = float((shares * (chance * worse - seen * expected + seen * chance) ** 2).sum())
    least_spread = (_ROUNDING * chance * float(worse.max())) ** 2
    error = math.sqrt(spread / count) / chance**2 if spread > least_spread else 0.0
    least = -1.0 if isinstance(weights, str) else -math.inf
    half = distributions.normal_critical(tail) * error
    told = agreement_scores.estimate(found, max(least, found - half), min(1.0, found + half))
    return Kappa(told, error, seen, chance, count)


def share_within(
    first: agreement_scores.Scores, second: agreement_scores.Scores, most: float
) -> float:
    """Return the share of horses, 0 to 1, whose two scores are at most so far apart, 0 to 1e9.

    Horses that either did not score are left out; raises TooFew when none is left, OutOfRange.
    """
    one, two = agreement_scores.pairs(first, second)
    agreement_scores.enough("pairs", one.size, 1)
    checked.within("most", most, 0.0, agreement_scores.MOST_SCORE)
    return float(np.mean(np.abs(one - two) <= most + _NEAR))


def grid(low: float, high: float, step: float) -> tuple[float, ...]:
    """Return a scale's levels, from ``low`` to ``high`` in equal steps above 0, both included.

    Raises OutOfRange.
    """
    most = agreement_scores.MOST_SCORE
    checked.within("low", low, -most, most)
    checked.within("high", high, low, most)
    checked.within("step", step, max(_NEAR, (high - low) / 1000), most)
    count = round((high - low) / step)
    if abs(low + count * step - high) > _NEAR * max(1.0, abs(high)):
        raise checked.OutOfRange("step", "one that divides the scale")
    return tuple(low + each * step for each in range(count + 1))


def _levels(levels: Sequence[float] | agreement_scores.Floats) -> agreement_scores.Floats:
    found: agreement_scores.Floats = agreement_scores.table("levels", [list(levels)])[0]
    if found.size == 0 or np.isnan(found).any() or (np.diff(found) <= 0).any():
        raise checked.OutOfRange("levels", "numbers that rise")
    return found


def _on(
    field: str, scores: agreement_scores.Floats, levels: agreement_scores.Floats
) -> NDArray[np.intp]:
    """Return which level each score is."""
    found: NDArray[np.intp] = np.abs(scores[:, None] - levels).argmin(axis=1)
    if (np.abs(scores - levels[found]) > _NEAR * np.maximum(1.0, np.abs(scores))).any():
        raise checked.OutOfRange(field, "scores on the levels given")
    return found


def _disagreements(weights: Weights, levels: agreement_scores.Floats) -> agreement_scores.Floats:
    """Return the weight of each pair of levels."""
    apart = np.abs(levels[:, None] - levels)
    if isinstance(weights, str):
        kinds = {NONE: (apart > 0).astype(np.float64), LINEAR: apart, QUADRATIC: apart * apart}
        if weights not in kinds:
            raise checked.OutOfRange("weights", f"{', '.join(kinds)}, or a table")
        return kinds[weights]
    found = _square("weights", weights)
    if found.shape != apart.shape or np.diag(found).any():
        raise checked.OutOfRange("weights", "a row for each level, 0 where both say the same")
    return found


def _square(field: str, given: Counts) -> agreement_scores.Floats:
    """Return a square table of numbers from 0 to 1e9."""
    found = agreement_scores.table(field, given)
    if found.shape[0] != found.shape[1] or found.size == 0:
        raise checked.OutOfRange(field, "a square table")
    if not ((found >= 0) & (found <= MOST_WEIGHT)).all():
        raise checked.OutOfRange(field, f"numbers from 0 to {MOST_WEIGHT:g}")
    return found
