"""How far a level went between two times of one line, with an 80% interval.

What readings of one tape or hand are all off by shifts both times alike, so it leaves the change be
as far as the line goes with it alike: the interval of a change is not made of the intervals of its
ends. What the readings leave unsure at the two is added up as if it always lay opposite ways, since
no more than the sum of two standard deviations can ever be that of a difference: that errs to the
side of saying less.
"""

import math

from scoring.rules import outlook, smoothing, trend_shared
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
