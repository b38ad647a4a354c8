"""Intraclass correlation: how much of the variance between scores is between horses.

The six forms of Shrout and Fleiss 1979, Psychological Bulletin 86:420, with the names of McGraw and
Wong 1996, Psychological Methods 1:30, and the F-based intervals of both (formulas from memory; the
numbers are held against Shrout and Fleiss's table and against pingouin).

Which form answers which question:

- ``(1,1)``, ICC(1): each horse had raters of its own, one score is used. ``(1,k)``, ICC(k): their
  mean is used.
- ``(2,1)``, ICC(A,1): the same raters scored all horses and stand for others like them; a rater who
  scores high counts as disagreement. ``(2,k)``, ICC(A,k): the mean of the raters is used.
- ``(3,1)``, ICC(C,1): the same raters, consistency only: a rater who always scores half a point
  high is no disagreement. ``(3,k)``, ICC(C,k): the mean of these raters is used.

An ICC depends on how different the horses are: it is low in a yard of like horses even when the
raters agree well. The limits of agreement tell the rest. The intervals take scores as normal; on a
coarse scale and with few horses they are rough.
"""

import enum
from dataclasses import dataclass

import numpy as np

from scoring.rules import agreement_scores, checked, distributions

_NO_DIFFERENCE = "the horses do not differ beyond the raters' noise: there is no correlation"
MOST_SQUARE = 1e30
# A whole that is no more than this part of what it was subtracted from is only rounding.
_ROUNDING = 1e-9


class Form(enum.StrEnum):
    """The six forms, by Shrout and Fleiss; in comments those of McGraw and Wong."""

    ONE_SINGLE = "1,1"  # ICC(1)
    TWO_SINGLE = "2,1"  # ICC(A,1)
    THREE_SINGLE = "3,1"  # ICC(C,1)
    ONE_MEAN = "1,k"  # ICC(k)
    TWO_MEAN = "2,k"  # ICC(A,k)
    THREE_MEAN = "3,k"  # ICC(C,k)


@dataclass(frozen=True, slots=True)
class MeanSquares:
    """The analysis of variance of a complete table: mean squares, in squared units of the scores.

    ``horses`` (BMS), ``within`` (WMS), ``raters`` (JMS), ``error`` (EMS), each not below 0;
    ``n`` horses by ``k`` raters, at least 2 of both. ``horses_left_out`` lacked a score,
    ``raters_left_out`` had scored nothing.
    """

    horses: float
    within: float
    raters: float
    error: float
    n: int
    k: int
    horses_left_out: int = 0
    raters_left_out: int = 0

    def __post_init__(self) -> None:
        for field in ("horses", "within", "raters", "error"):
            checked.within(field, getattr(self, field), 0.0, MOST_SQUARE)
        for field in ("n", "k"):
            agreement_scores.enough(field, getattr(self, field), 2)


def mean_squares(scores: agreement_scores.Table) -> MeanSquares:
    """Return the mean squares of horses (rows) by raters (columns).

    A rater who scored nothing is left out first, then each horse that lacks a score; both are
    counted. Raises TooFew for fewer than 2 raters or 2 horses left, OutOfRange for no table.
    """
    given = agreement_scores.table("scores", scores)
    some = ~np.isnan(given).all(axis=0)
    agreement_scores.enough("raters", int(some.sum()), 2)
    seen = given[:, some]
    whole = ~np.isnan(seen).any(axis=1)
    agreement_scores.enough("horses", int(whole.sum()), 2)
    found = seen[whole]
    n, k = found.shape
    by_horse = found.mean(axis=1, keepdims=True)
    by_rater = found.mean(axis=0, keepdims=True)
    grand = found.mean()
    horses = k * agreement_scores.squares(by_horse - grand, found)
    within = agreement_scores.squares(found - by_horse, found)
    raters = n * agreement_scores.squares(by_rater - grand, found)
    error = agreement_scores.squares(found - by_horse - by_rater + grand, found)
    return MeanSquares(
        horses=horses / (n - 1),
        within=within / (n * (k - 1)),
        raters=raters / (k - 1),
        error=error / ((n - 1) * (k - 1)),
        n=n,
        k=k,
        horses_left_out=given.shape[0] - n,
        raters_left_out=given.shape[1] - k,
    )


def icc(
    scores: agreement_scores.Table, form: Form, *, confidence: float = 0.95
) -> agreement_scores.Estimate:
    """Return one form's coefficient with its interval; see ``mean_squares`` and ``coefficient``."""
    return coefficient(mean_squares(scores), form, confidence=confidence)


def coefficient(
    found: MeanSquares, form: Form, *, confidence: float = 0.95
) -> agreement_scores.Estimate:
    """Return one form's coefficient, at most 1, with its interval at 0.5 to 0.9999 confidence.

    It may be below 0: then the horses differ less than chance would have it. A limit of the
    interval is None where it has no bound, both are where nothing is left to tell them from, as of
    raters who agree without exception. Raises Undefined where no scores differ, where the form has
    nothing but the horses' differences to go by and there are none, and for ``(2,k)`` where they
    are so few that the variance of a mean comes out at 0 or less; OutOfRange for the confidence.
    """
    tail, mean = agreement_scores.upper_tail(confidence), form.value.endswith("k")
    if form in (Form.ONE_SINGLE, Form.ONE_MEAN):
        return _against(found, found.within, found.n * (found.k - 1), tail, mean=mean)
    if form in (Form.THREE_SINGLE, Form.THREE_MEAN):
        return _against(found, found.error, _error_df(found), tail, mean=mean)
    return _absolute(found, tail, mean=mean)


def _error_df(found: MeanSquares) -> int:
    return (found.n - 1) * (found.k - 1)


def _against(
    found: MeanSquares, noise: float, df: int, tail: float, *, mean: bool
) -> agreement_scores.Estimate:
    """Return form 1 or 3: the horses' mean square against one of noise, which has ``df``."""
    df1, share = found.n - 1, 0 if mean else found.k - 1
    if found.horses + share * noise <= 0:
        raise agreement_scores.Undefined("horses", _NO_DIFFERENCE)
    under = distributions.f_critical(tail, df1, df)
    over = distributions.f_critical(tail, df, df1)

    def at(horses: float, noise: float) -> float:
        return (horses - noise) / (horses + share * noise)

    return agreement_scores.estimate(
        at(found.horses, noise), at(found.horses, under * noise), at(over * found.horses, noise)
    )


def _absolute(found: MeanSquares, tail: float, *, mean: bool) -> agreement_scores.Estimate:
    """Return form 2, by Satterthwaite's degrees of freedom for raters and error together."""
    value, single = _ratio(found, mean=mean), _ratio(found, mean=False)
    if value is None or single is None:
        raise agreement_scores.Undefined("horses", _NO_DIFFERENCE)
    df1, df2 = found.n - 1, _satterthwaite(found, single)
    low = _ratio(found, noise=distributions.f_critical(tail, df1, df2), mean=mean)
    high = _ratio(found, horses=distributions.f_critical(tail, df2, df1), mean=mean)
    return agreement_scores.estimate(value, low, high)


def _ratio(
    found: MeanSquares, *, horses: float = 1.0, noise: float = 1.0, mean: bool
) -> float | None:
    """Return form 2 with its mean squares times factors; None where their whole is not above 0."""
    n, k = found.n, found.k
    bms, jms, ems = horses * found.horses, noise * found.raters, noise * found.error
    whole = n * bms + (jms - ems if mean else k * jms + (k * n - k - n) * ems)
    return n * (bms - ems) / whole if whole > _ROUNDING * (n * bms + jms + ems) else None


def _satterthwaite(found: MeanSquares, single: float) -> float:
    """Return the degrees of freedom of raters and error together, at least 1.

    Where neither varies any will do, for they then multiply nothing. A negative coefficient can
    bring the formula near 0, although no mean square has fewer than 1.
    """
    n, k = found.n, found.k
    raters = k * single * found.raters
    error = (n * (1 + (k - 1) * single) - k * single) * found.error
    apart = (n - 1) * raters**2 + error**2
    if apart == 0:
        return float(_error_df(found))
    return max(1.0, _error_df(found) * (raters + error) ** 2 / apart)
