"""Each assessor beside the others: who scores high, who scores low, and how repeatably.

Every score is taken as the horse's level plus the assessor's bias plus error (two-way additive
model, least squares), so that an assessor who happened to see the fatter horses is not found to
score high. Biases are against the mean of all assessors here, who may all be wrong together: they
add up to 0. Where every assessor scored every horse a bias is the assessor's mean less the mean of
all. Source: any text on linear models; held against statsmodels.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scoring.rules import agreement_limits, agreement_scores


@dataclass(frozen=True, slots=True)
class Bias:
    """How much higher than the mean of all an assessor scores, from so many horses shared.

    There is no interval where too few horses are shared to leave any error to tell it from.
    """

    estimate: agreement_scores.Estimate
    horses: int


@dataclass(frozen=True, slots=True)
class Biases:
    """The assessors in the order of the columns; None stands for one who shared no horse.

    ``error_sd`` is what is left of one score's spread when horses and biases are taken out, None
    with no degrees of freedom, ``df``.
    """

    assessors: tuple[Bias | None, ...]
    error_sd: float | None
    df: int


def biases(scores: agreement_scores.Table, *, confidence: float = 0.95) -> Biases:
    """Return each assessor's bias from horses (rows) by assessors (columns), any of them missing.

    A horse that one assessor alone scored tells nothing and is left out. Student's intervals, one
    for each: among 20 assessors one will seem biased by chance. Raises TooFew for fewer than two
    assessors who share a horse, Undefined where the assessors fall into groups that share none,
    OutOfRange for no table and for a confidence outside 0.5 to 0.9999.
    """
    tail = agreement_scores.upper_tail(confidence)
    given = agreement_scores.table("scores", scores)
    shared = given[(~np.isnan(given)).sum(axis=1) >= 2]
    seen = ~np.isnan(shared)
    present = np.flatnonzero(seen.any(axis=0))
    agreement_scores.enough("assessors", present.size, 2)
    shared, seen = shared[:, present], seen[:, present]
    inverse = _inverse(seen)
    off = np.where(seen, shared - np.nanmean(shared, axis=1, keepdims=True), 0.0)
    found = inverse @ off.sum(axis=0)
    rest = off - np.where(seen, found - _means(seen, found), 0.0)
    df = int(seen.sum()) - shared.shape[0] - present.size + 1
    sd = math.sqrt(agreement_scores.squares(rest[seen], shared[seen]) / df) if df else None
    told: list[Bias | None] = [None] * given.shape[1]
    counts = seen.sum(axis=0)
    factor = agreement_scores.t_factor(1 - 2 * tail, df) if df else 0.0
    for place, column in enumerate(present.tolist()):
        error = (sd or 0.0) * math.sqrt(inverse[place, place])
        value = agreement_scores.around(float(found[place]), error, factor)
        told[column] = Bias(value, int(counts[place]))
    return Biases(tuple(told), sd, df)


def repeatabilities(
    replicates: Sequence[agreement_scores.Table], *, multiplier: float
) -> tuple[agreement_limits.Repeatability | None, ...]:
    """Return each assessor's repeatability, from a table of horses by replicates for each.

    None stands for an assessor who scored no horse twice. See ``agreement_limits.repeatability``.
    """
    found: list[agreement_limits.Repeatability | None] = []
    for table in replicates:
        try:
            found.append(agreement_limits.repeatability(table, multiplier=multiplier))
        except agreement_scores.TooFew:
            found.append(None)
    return tuple(found)


def _means(seen: NDArray[np.bool_], found: agreement_scores.Floats) -> agreement_scores.Floats:
    """Return for each horse the mean bias of those who scored it."""
    means: agreement_scores.Floats = (seen @ found / seen.sum(axis=1))[:, None]
    return means


def _inverse(seen: NDArray[np.bool_]) -> agreement_scores.Floats:
    """Return the covariance of the biases for an error of variance 1, given who scored what.

    The horses are worked out of the normal equations. What is left has no inverse, for biases
    against one another only can be known; with the biases adding up to 0 it has one.
    """
    by_horse = seen / seen.sum(axis=1, keepdims=True)
    left = np.diag(seen.sum(axis=0).astype(np.float64)) - seen.T @ by_horse
    k = len(left)
    if np.linalg.matrix_rank(left) < k - 1:
        raise agreement_scores.Undefined("assessors", "they fall into groups that share no horse")
    inverse: agreement_scores.Floats = np.linalg.inv(left + 1 / k) - 1 / k
    return inverse
