"""Thousands of readings on a few hundred pixels: which are drawn so that nothing is lost to sight.

Of each column of pixels the lowest and the highest are kept, by every measure that is drawn, and
the first and the last of all. What is left out lies between two that are drawn on the same spot.
"""

from collections.abc import Sequence

MOST = 250
COLUMN = 3.0


def kept(
    across: Sequence[float], *along: Sequence[float], most: int = MOST, column: float = COLUMN
) -> list[int]:
    """Return the places of those that are drawn, in order: all of them where they are few."""
    if len(across) <= most:
        return list(range(len(across)))
    columns: dict[int, list[int]] = {}
    for place, x in enumerate(across):
        columns.setdefault(int(x // column), []).append(place)
    found = {0, len(across) - 1}
    for places in columns.values():
        for values in along:
            found.add(min(places, key=values.__getitem__))
            found.add(max(places, key=values.__getitem__))
    return sorted(found)
