"""Where a value lies on a drawing: straight scales, with the ends and the ticks that suit them."""

import math
from collections.abc import Iterable
from typing import NamedTuple

# No axis of scores begins higher, so that half a point looks the same from one horse to the next.
HIGHEST_START = 1.5
# The steps that people count in, times powers of ten.
_STEPS = (1.0, 2.0, 5.0)


class Scale(NamedTuple):
    """Values from ``low`` to ``high``, drawn from ``start`` to ``end``, which may run downwards."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        """Return where a value lies."""
        share = (value - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def back(self, place: float) -> float:
        """Return the value that lies at a place."""
        share = (place - self.start) / (self.end - self.start)
        return self.low + share * (self.high - self.low)


class Ticks(NamedTuple):
    """The ends of an axis, each a tick, and every tick between them."""

    low: float
    high: float
    at: tuple[float, ...]


def of_scores(values: Iterable[float], least: float, most: float) -> Ticks:
    """Return the axis of a score whose scale goes from ``least`` to ``most``: every half point.

    It begins at 1½, or lower where a value or the scale's own beginning asks for it, and goes to
    the scale's end: no point is ever cut off.
    """
    lowest = min([HIGHEST_START, *values])
    start = least if least >= 1 else max(math.floor(lowest * 2) / 2, least)
    halves = range(round(start * 2), round(most * 2) + 1)
    return Ticks(start, most, tuple(each / 2 for each in halves))


def of_amounts(values: Iterable[float], least_span: float, most: int = 5) -> Ticks:
    """Return the axis of a quantity that does not begin at nought, with round ticks.

    It holds every value, spans at least ``least_span``, so that nothing looks like a fall that is
    none, and has at most ``most`` steps. Without values it begins at nought.
    """
    held = list(values) or [0.0, least_span]
    low, high = min(held), max(held)
    lacks = max(least_span - (high - low), 0.0) / 2
    low, high = max(low - lacks, 0.0), high + lacks
    step = _step(low, high, most)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    ticks = tuple(number * step for number in range(first, max(last, first + 1) + 1))
    return Ticks(ticks[0], ticks[-1], ticks)


def _step(low: float, high: float, most: int) -> float:
    """Return the smallest round step of which no more than ``most`` reach over a span."""
    power = 10.0 ** math.floor(math.log10((high - low) / most))
    for step in (factor * scale for scale in (power, power * 10) for factor in _STEPS):
        if math.ceil(high / step - 1e-9) - math.floor(low / step + 1e-9) <= most:
            return step
    return power * 100
