"""Marks along a line: those too close to be told apart share one, which says how many they are."""

from collections.abc import Sequence
from typing import NamedTuple


class Mark(NamedTuple):
    """One mark at ``x``, of those from place ``first`` to ``last``, counted from 1."""

    x: float
    first: int
    last: int


def laid(across: Sequence[float], apart: float) -> list[Mark]:
    """Return marks for places in order, each at least ``apart`` from the one before.

    Places nearer than that to the first of a mark are taken into it, so that none is ever moved.
    """
    found: list[Mark] = []
    for number, x in enumerate(across, 1):
        if found and x - found[-1].x < apart:
            found[-1] = found[-1]._replace(last=number)
        else:
            found.append(Mark(x, number, number))
    return found
