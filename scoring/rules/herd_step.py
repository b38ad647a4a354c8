"""How far outside its own band a score lies, in half points of its own scale.

A part of a half point counts as one whole step, so that no horse outside is told as within. Steps
of two scales are never added up: half a point of nine is not half a point of five.
"""

import math
from collections.abc import Mapping
from decimal import Decimal

# Further out than that is told together: more than two points.
MOST = 5


def step(halves: int, low: Decimal, high: Decimal) -> int:
    """Return 0 within the band, else the half points below it (negative) or above it."""
    points = Decimal(halves)
    if points < low * 2:
        return -math.ceil(low * 2 - points)
    return max(0, math.ceil(points - high * 2))


def binned(steps: Mapping[int, int]) -> dict[int, int]:
    """Return counts by step, from the lowest to the highest bin in use, without holes.

    The bins reach a step beyond the band on both sides, that one may see that nobody stands there.
    """
    held: dict[int, int] = {}
    for far, count in steps.items():
        kept = max(-MOST, min(MOST, far))
        held[kept] = held.get(kept, 0) + count
    least, most = min((*held, -1)), max((*held, 1))
    return {each: held.get(each, 0) for each in range(least, most + 1)}
