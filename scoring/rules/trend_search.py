"""The highest point of a smooth function of a few numbers: along one number after the other.

Along each, the top of the parabola through three points, then a leap the way the whole round went
(Hooke and Jeeves 1961, Journal of the ACM 8:212, from memory). Nothing is drawn at random: the same
function gives the same point.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from scoring.rules.trend_panel import Floats

Objective = Callable[[Floats], float]

FIRST_REACH, LEAST_REACH, MOST_REACH = 0.4, 0.002, 2.0
MOST_CALLS = 600
# A round that gains less than this, in log-likelihood, is the last.
LEAST_GAIN = 1e-6


@dataclass(slots=True)
class _Climb:
    """Where a climb stands. Bounds hold each number; ``calls`` counts what was asked."""

    objective: Objective
    low: Floats
    high: Floats
    at: Floats
    most: int
    best: float = -np.inf
    calls: int = 0
    reach: Floats = field(default_factory=lambda: np.zeros(0))

    def tried(self, point: Floats) -> float:
        """Return the height of a point, and stand there if it is the highest."""
        self.calls += 1
        height = self.objective(point)
        if height > self.best:
            self.at, self.best = point, height
        return height


def climb(
    objective: Objective,
    start: Floats,
    *,
    low: Floats,
    high: Floats,
    reach: float = FIRST_REACH,
    most: int = MOST_CALLS,
) -> tuple[Floats, float]:
    """Return the highest point found between two corners, and its height.

    Numbers are logarithms, or of a size of about 1. The first step along each goes as far as
    ``reach``, the last ones about 0.002; the function is asked about ``most`` times at most.
    """
    made = _Climb(objective, low, high, np.clip(start, low, high), most)
    made.tried(made.at)
    made.reach = np.full(start.size, reach)
    while made.calls < most and start.size:
        before, height = made.at, made.best
        for number in range(start.size):
            _along(made, number)
        _leapt(made, before)
        if made.best - height < LEAST_GAIN and (made.reach <= LEAST_REACH).all():
            break
    return made.at, made.best


def _leapt(made: _Climb, before: Floats) -> None:
    """Go on the way that a round went, twice as far each time, for as long as it goes up."""
    way, height = made.at - before, -np.inf
    while way.any() and made.best > height and made.calls < made.most:
        height = made.best
        made.tried(np.clip(made.at + way, made.low, made.high))
        way = 2 * way


def _along(made: _Climb, number: int) -> None:
    """Climb along one number, and set how far to reach along it the next time."""
    centre, middle, reach = made.at, made.best, made.reach[number]
    ends = [_moved(made, centre, number, way * reach) for way in (-1.0, 1.0)]
    (left, low), (right, high) = ((end[number], made.tried(end)) for end in ends)
    top = _top((left, low), (float(centre[number]), middle), (right, high))
    if top is None:
        # Further up, if it was up at all; a number that changes nothing is left alone.
        made.reach[number] = min(2 * reach, MOST_REACH) if made.best > middle else LEAST_REACH
        return
    made.tried(_moved(made, centre, number, np.clip(top - centre[number], -2 * reach, 2 * reach)))
    gone = abs(float(made.at[number] - centre[number]))
    made.reach[number] = min(max(gone, reach / 4, LEAST_REACH), MOST_REACH)


def _moved(made: _Climb, point: Floats, number: int, by: float) -> Floats:
    moved = point.copy()
    moved[number] = np.clip(point[number] + by, made.low[number], made.high[number])
    return moved


def _top(*points: tuple[float, float]) -> float | None:
    """Return where the parabola through three points is highest, None where it has no top."""
    (x0, y0), (x1, y1), (x2, y2) = points
    if not x0 < x1 < x2:
        # At a bound: there is nothing on one side.
        return x1
    left, right = (y1 - y0) / (x1 - x0), (y2 - y1) / (x2 - x1)
    bend = (right - left) / (x2 - x0)
    if bend >= 0.0:
        return None
    return (x0 + x1) / 2 - left / (2 * bend)
