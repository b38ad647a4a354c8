"""How far apart two scores of one horse may lie: limits of agreement and repeatability.

Bland and Altman 1986, Lancet i:307, and 1999, Statistical Methods in Medical Research 8:135
(formulas from memory; the numbers are held against the peak flow data of 1986). All results are in
the unit of the scores. ``multiplier`` is how many standard deviations a limit goes to either side:
1.96 for 95% of a normal quantity, 2 in the paper of 1986. It is asked for, not supposed, because
published limits use either.

The methods take the differences as normal and as large at one end of the scale as at the other.
Scores in half points are normal only roughly.
"""

import math
from dataclasses import dataclass

import numpy as np

from scoring.rules import agreement_scores, checked

LEAST_MULTIPLIER, MOST_MULTIPLIER = 0.1, 10.0


@dataclass(frozen=True, slots=True)
class Limits:
    """The mean difference first less second, and between which limits the differences mostly lie.

    ``sd`` is of the differences, ``pairs`` how many there are. Where every pair differs by the same
    nothing has an interval.
    """

    bias: agreement_scores.Estimate
    sd: float
    lower: agreement_scores.Estimate
    upper: agreement_scores.Estimate
    multiplier: float
    pairs: int


@dataclass(frozen=True, slots=True)
class Repeatability:
    """How far one rater's scores of one unchanged horse lie apart.

    ``within_sd`` is the standard deviation of one score about the horse's mean; two scores differ
    by less than ``coefficient``, which is the multiplier times the square root of 2 times that, as
    often as the multiplier says. ``df`` degrees of freedom, from ``horses`` scored twice or more.
    """

    within_sd: float
    coefficient: float
    multiplier: float
    horses: int
    df: int


def limits(
    first: agreement_scores.Scores,
    second: agreement_scores.Scores,
    *,
    multiplier: float,
    confidence: float = 0.95,
) -> Limits:
    """Return the limits of agreement of two raters, or two methods, on the same horses in order.

    Horses that lack either score are left out. The bias has Student's interval. A limit's standard
    error is ``sd * sqrt(1 / n + multiplier**2 / (2 * (n - 1)))``, about ``sqrt(3 / n) * sd``, with
    Student's factor as in the paper: rough below some 20 pairs. ``multiplier`` is 0.1 to 10,
    ``confidence`` 0.5 to 0.9999. Raises TooFew for fewer than 2 pairs, OutOfRange.
    """
    times = _multiplier(multiplier)
    one, two = agreement_scores.pairs(first, second)
    n = one.size
    agreement_scores.enough("pairs", n, 2)
    factor = agreement_scores.t_factor(confidence, n - 1)
    off, scores = one - two, np.concatenate((one, two))
    mean = float(off.mean())
    sd = math.sqrt(agreement_scores.squares(off - mean, scores) / (n - 1))
    at_limit = sd * math.sqrt(1 / n + times**2 / (2 * (n - 1)))
    return Limits(
        bias=agreement_scores.around(mean, sd / math.sqrt(n), factor),
        sd=sd,
        lower=agreement_scores.around(mean - times * sd, at_limit, factor),
        upper=agreement_scores.around(mean + times * sd, at_limit, factor),
        multiplier=times,
        pairs=n,
    )


def repeatability(replicates: agreement_scores.Table, *, multiplier: float) -> Repeatability:
    """Return one rater's repeatability from horses (rows) by replicates (columns), some missing.

    The scores of a horse are taken as if made at one time, each without knowing of the others; the
    first is not taken to be higher or lower than the second. Horses scored once are left out.
    With two replicates ``within_sd`` is ``sqrt(sum(d**2) / (2 * n))``. Raises TooFew when no horse
    was scored twice, OutOfRange for no table or a multiplier outside 0.1 to 10.
    """
    times, given = _multiplier(multiplier), agreement_scores.table("replicates", replicates)
    counts = (~np.isnan(given)).sum(axis=1)
    twice = counts >= 2
    horses = int(twice.sum())
    agreement_scores.enough("horses", horses, 1)
    kept = given[twice]
    off = kept - np.nanmean(kept, axis=1, keepdims=True)
    seen = ~np.isnan(kept)
    df = int(counts[twice].sum()) - horses
    sd = math.sqrt(agreement_scores.squares(off[seen], kept[seen]) / df)
    return Repeatability(sd, times * math.sqrt(2) * sd, times, horses, df)


def single_score_sd(sd_of_differences: float) -> float:
    """Return the standard deviation of one score's error from that of differences of two, / sqrt 2.

    It holds when both raters are equally exact and err independently. 0 to 1e9; raises OutOfRange.
    """
    return _sd("sd_of_differences", sd_of_differences) / math.sqrt(2)


def minimum_detectable_change(error_sd: float, *, multiplier: float) -> float:
    """Return the least difference of two single scores that error alone hardly brings about.

    ``multiplier * sqrt(2) * error_sd``, where ``error_sd`` (0 to 1e9) is of one score: that within
    a rater when one rater scores both times, else that of any rater, from ``single_score_sd``.
    Weir 2005, Journal of Strength and Conditioning Research 19:231 (from memory). A mean of many
    scores can show less. Raises OutOfRange.
    """
    return _multiplier(multiplier) * math.sqrt(2) * _sd("error_sd", error_sd)


def _sd(field: str, value: float) -> float:
    return checked.within(field, value, 0.0, agreement_scores.MOST_SCORE)


def _multiplier(value: float) -> float:
    return checked.within("multiplier", value, LEAST_MULTIPLIER, MOST_MULTIPLIER)
