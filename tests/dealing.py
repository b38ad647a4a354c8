"""In what order the tests are begun: a run ends no sooner than the longest test begun last."""

from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")


def dealt(long: Sequence[T], rest: Sequence[T], hands: int) -> list[T]:
    """Return all of them, so that cut into ``hands`` even pieces each piece begins with its share
    of the long ones; otherwise in the order given.

    As ``--dist worksteal`` cuts: of what is left, each next piece gets its even part rounded down.
    """
    left, shares = len(long) + len(rest), [list(long[hand::hands]) for hand in range(hands)]
    others = iter(rest)
    for hand, share in enumerate(shares):
        size = left // (hands - hand)
        share += [next(others) for _ in range(size - len(share))]
        left -= size
    return [each for share in shares for each in share] + list(others)
