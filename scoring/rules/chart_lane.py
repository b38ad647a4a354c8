"""Marks along a line: boxes that would cover each other share one, which says how many they are."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

# What stays free between two boxes.
GAP = 4.0


class Mark(NamedTuple):
    """One mark at ``x``, of those from place ``first`` to ``last``, counted from 1."""

    x: float
    first: int
    last: int


def left(mark: Mark, wide: Callable[[Mark], float], end: float) -> float:
    """Return where a mark's box begins: at its place, or so far before that it ends inside."""
    return min(mark.x, end - wide(mark))


def laid(across: Sequence[float], wide: Callable[[Mark], float], end: float) -> list[Mark]:
    """Return marks for places in order, none of whose boxes reaches into another.

    ``wide`` is how wide a mark's box is, ``end`` where the last one must end. A mark that would
    cover the one before is taken into it, so that none is ever moved from its time.
    """
    found: list[Mark] = []
    for number, x in enumerate(across, 1):
        found.append(Mark(x, number, number))
        while len(found) > 1 and left(found[-1], wide, end) < (
            left(found[-2], wide, end) + wide(found[-2]) + GAP
        ):
            last = found.pop()
            found[-1] = found[-1]._replace(last=last.last)
    return found
