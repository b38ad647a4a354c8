"""How far a level went between two times of one line, with an 80% interval.

What readings of one tape or hand are all off by shifts both times alike, so it leaves the change be
as far as the line goes with it alike: the interval of a change is not made of the intervals of its
ends. What the readings leave unsure at the two is added up as if it always lay opposite ways, since
no more than the sum of two standard deviations can ever be that of a difference: that errs to the
side of saying less.
"""

import math

from scoring.rules import distributions, outlook, smoothing, trend_shared
from scoring.rules.outlook import Span


def between(first: smoothing.Point, last: smoothing.Point) -> Span:
    """Return the later level less the earlier, in the filter's own unit."""
    gone = last.level.value - first.level.value
    alone = (math.sqrt(first.alone) + math.sqrt(last.alone)) ** 2
    return outlook.span(gone, alone + _apart(first.shared, last.shared))


def _apart(first: trend_shared.Shared, last: trend_shared.Shared) -> float:
    """Return the variance that offsets add: of each, by how differently the two go with it."""
    nothing = (0.0, 0.0, 0.0)
    parts = []
    for key in first.keys() | last.keys():
        (one, _, sd), (two, _, other) = first.get(key, nothing), last.get(key, nothing)
        parts.append(((two - one) * max(sd, other)) ** 2)
    return math.fsum(parts)


def of_weight(found: Span, kg: float) -> Span:
    """Return a change of a weight's logarithm in kilograms of what it was before."""
    return Span(*(kg * math.expm1(each) for each in found))


# Ours: less than the half point that a hand can tell, or than 2% of a weight, is no change told.
LEAST_POINTS, LEAST_SHARE = 0.5, 0.02
UP, DOWN, NO, UNSURE = "up", "down", "no", "unsure"


def verdict(found: Span, least: float) -> str:
    """Return whether a level has changed: which way, not by as much as ``least``, or not known.

    It has where the 80% interval holds no standing still; it has not where all of the interval lies
    nearer to nought than ``least``.
    """
    if found.low > 0:
        return UP
    if found.high < 0:
        return DOWN
    return NO if max(-found.low, found.high) < least else UNSURE


# How a change that is sure stands to what counts as one: all of it less, or only its middle.
LESS, PERHAPS_LESS, AS_MUCH = "less", "perhaps_less", "as_much"


def reach(found: Span, least: float) -> str:
    """Return whether a change stays under ``least``, by the yardstick that a "no" is told by.

    It does where all of the 80% interval is nearer to nought; perhaps where its middle is, by more
    than a hundredth of ``least``, so that 0.498 is not told as 0.50 and yet as less than a half.
    """
    if max(abs(found.low), abs(found.high)) < least:
        return LESS
    return PERHAPS_LESS if abs(found.value) < 0.99 * least else AS_MUCH


def is_apart(score: str, weight: str) -> bool:
    """Return whether two verdicts need a word on how to hold both: yes beside no, or up and down.

    Beside what is not known or not sure nothing is apart.
    """
    both = {score, weight}
    return len(both) == 2 and both <= {UP, DOWN, NO}


def sureness(found: Span) -> float:
    """Return how likely the true change goes the way that is told, by the interval's own law."""
    half = (found.high - found.low) / 2
    return distributions.normal_cdf(abs(found.value) * outlook.Z80 / half) if half > 0 else 1.0
