"""What the agreement statistics take and give back: tables of scores, estimates, refusals.

Scores are numbers up to 1e9 either way, in any unit; None or NaN is a missing one. A table is rows
of equal length, or an array of two dimensions: a row for each horse, a column for each rater (or
replicate). Nothing here knows which scale the scores are on: never mix two in one table.

Only a worker loads these modules: they need numpy.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scoring.rules import checked, distributions

Floats = NDArray[np.float64]
Scores = Sequence[float | Decimal | None] | NDArray[Any]
Table = Sequence[Sequence[float | Decimal | None]] | NDArray[Any]

MOST_SCORE = 1e9
LEAST_CONFIDENCE, MOST_CONFIDENCE = 0.5, 0.9999
# Deviations within so many roundings of the largest number are none.
_ROUNDINGS = 16 * float(np.finfo(np.float64).eps)


class Undefined(ValueError):
    """A statistic that these scores do not define: which field is at fault, and why."""

    def __init__(self, field: str, reason: str) -> None:
        super().__init__(f"{field}: {reason}")
        self.field = field
        self.reason = reason


class TooFew(Undefined):
    """Too few horses, raters or pairs: how many there are, and the least that would do."""

    def __init__(self, field: str, found: int, least: int) -> None:
        super().__init__(field, f"{found} found, at least {least} needed")
        self.found = found
        self.least = least


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its interval.

    A limit is None where none can be told: it lies without bound, or there is no variation left
    from which to tell how sure the value is.
    """

    value: float
    low: float | None = None
    high: float | None = None


def estimate(value: float, low: float | None, high: float | None) -> Estimate:
    """Return a value with its interval, and with none where that has no width but of rounding."""
    if low is None or high is None:
        return Estimate(value, low, high)
    has_width = high - low > _ROUNDINGS * max(abs(low), abs(high))
    return Estimate(value, low, high) if has_width else Estimate(value, None, None)


def around(value: float, error: float, factor: float) -> Estimate:
    """Return a value with so many standard errors on either side."""
    return estimate(value, value - factor * error, value + factor * error)


def upper_tail(confidence: float) -> float:
    """Return the probability left above an interval; raises OutOfRange outside 0.5 to 0.9999."""
    return (1 - checked.within("confidence", confidence, LEAST_CONFIDENCE, MOST_CONFIDENCE)) / 2


def t_factor(confidence: float, df: float) -> float:
    """Return how many standard errors Student's interval goes to either side."""
    return distributions.t_critical(upper_tail(confidence), df)


def table(field: str, given: Table) -> Floats:
    """Return a table as an array of floats, missing scores as NaN; it may be empty.

    Raises OutOfRange.
    """
    found = _floats(field, given)
    if found.size == 0 and found.ndim < 2:
        return np.zeros((0, 0))
    if found.ndim != 2:
        raise checked.OutOfRange(field, "rows of scores, all of one length")
    return found


def pairs(first: Scores, second: Scores) -> tuple[Floats, Floats]:
    """Return the scores of the horses that have both, in their order.

    Raises OutOfRange, also for lists of different lengths.
    """
    one, two = _floats("first", first), _floats("second", second)
    if one.ndim != 1:
        raise checked.OutOfRange("first", "a list of scores")
    if one.shape != two.shape:
        raise checked.OutOfRange("second", "a list of scores as long as the first")
    both = ~(np.isnan(one) | np.isnan(two))
    return one[both], two[both]


def enough(field: str, found: int, least: int) -> None:
    """Raise TooFew for fewer than the least."""
    if found < least:
        raise TooFew(field, found, least)


def apart(scores: Floats) -> Floats:
    """Return scores as they are told apart where any difference counts: to a billionth."""
    return np.round(scores, 9) + 0.0  # no -0


def squares(deviations: Floats, scores: Floats) -> float:
    """Return the sum of squares of deviations; 0 where they are only the rounding of the scores."""
    total = float(np.sum(deviations * deviations))
    largest = float(np.abs(scores).max(initial=0.0))
    return total if total > deviations.size * (_ROUNDINGS * largest) ** 2 else 0.0


def _floats(field: str, given: object) -> Floats:
    try:
        raw = np.asarray(given)
        plain = raw.dtype.kind in "biuf" or (raw.dtype.kind == "O" and _numbers(raw))
        found = np.asarray(raw, np.float64) if plain else None
    except (TypeError, ValueError, OverflowError):
        found = None
    if found is None:
        raise checked.OutOfRange(field, "numbers or None, in rows of one length")
    largest = float(np.max(np.abs(found[~np.isnan(found)]), initial=0.0))
    checked.within(field, largest, 0.0, MOST_SCORE)
    return found


def _numbers(raw: NDArray[np.object_]) -> bool:
    """Return whether objects are numbers or None: a float would be made of a text, too."""
    return not any(isinstance(each, str | bytes) for each in raw.flat)
