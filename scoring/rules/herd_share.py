"""How large a part of a herd is, how sure that is of so few, and when it is no share at all.

The interval is Wilson's (1927, Journal of the American Statistical Association 22:209-212), which
stays inside 0 and 1 and holds for few horses too. It tells of chance only: horses that nobody has
scored may differ from those that somebody has. A difference of two shares has Newcombe's interval
of two such (1998, Statistics in Medicine 17:873-890, method 10), as of two herds that have nothing
to do with each other: of one herd in two years it is wider than it need be, never narrower.
"""

import math
from typing import NamedTuple

from scoring.rules import checked, outlook

# Of fewer a share says more than is known: a count is told instead. Our choice.
FEWEST = 10


class Share(NamedTuple):
    """A share from 0 to 1 and its interval."""

    value: float
    low: float
    high: float


def wilson(count: int, known: int, z: float = outlook.Z80) -> Share:
    """Return a share with Wilson's score interval, 80% unless another ``z`` is asked for.

    Raises OutOfRange for no horses at all, and for more than there are.
    """
    known = checked.whole("known", known, 1, 10**9)
    count = checked.whole("count", count, 0, known)
    share, square = count / known, z * z
    middle = (share + square / (2 * known)) / (1 + square / known)
    half = z * math.sqrt(share * (1 - share) / known + square / (4 * known * known))
    half /= 1 + square / known
    # At the ends the formula gives the end itself but for rounding.
    low = 0.0 if count == 0 else max(0.0, middle - half)
    high = 1.0 if count == known else min(1.0, middle + half)
    return Share(share, low, high)


def share(count: int, known: int) -> Share | None:
    """Return a share with its interval; None of fewer than ten, which are told as counts."""
    return wilson(count, known) if known >= FEWEST else None


def difference(now: tuple[int, int], then: tuple[int, int], z: float = outlook.Z80) -> Share | None:
    """Return how far a share went, from -1 to 1, with its interval; each is (count, known).

    None where either is of fewer than are told as a share.
    """
    if min(now[1], then[1]) < FEWEST:
        return None
    new, old = wilson(*now, z), wilson(*then, z)
    gone = new.value - old.value
    return Share(
        gone,
        gone - math.hypot(new.value - new.low, old.high - old.value),
        gone + math.hypot(new.high - new.value, old.value - old.low),
    )
