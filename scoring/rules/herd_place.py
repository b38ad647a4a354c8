"""What one month knows of one horse: its place in its own band by its last felt score, or why none.

One letter each, so that a horse's months are a word: a database writes it, and a list is ordered
by it.
"""

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from scoring.rules import band

BELOW, WITHIN, ABOVE = "b", "w", "a"
# Felt, but not everywhere: no overall. Seen only: never counted. Nothing at all. Not here then.
UNSAFE, SEEN, UNREAD, ELSEWHERE = "u", "v", "n", "-"
PLACES: Mapping[str, str] = {BELOW: band.BELOW, WITHIN: band.WITHIN, ABOVE: band.ABOVE}
UNKNOWN = (UNSAFE, SEEN, UNREAD)
LETTERS = (*PLACES, *UNKNOWN, ELSEWHERE)

# Three months without a felt score, the running one among them, and a place is old. Our choice.
STALE = 3
GROUPS = ("below", "above", "unknown", "within", "gone")
_RUN = re.compile(r"(b+|w+|a+)$")


class Worry(NamedTuple):
    """Where a horse stands in the order of worry: its group, and months, the most first."""

    group: str
    months: int


def word(codes: Mapping[int, str], many: int) -> str:
    """Return a horse's months as one word; a month that is not told is one not here."""
    return "".join(codes.get(each, ELSEWHERE) for each in range(1, many + 1))


def run(letters: str) -> int:
    """Return how many felt scores in a row the last place has been held, month by month."""
    felt = "".join(each for each in letters if each in PLACES)
    found = _RUN.search(felt)
    return len(found.group()) if found else 0


def unread(letters: str) -> int:
    """Return for how many months up to the last there has been no felt score."""
    return len(letters) - max((letters.rfind(each) for each in PLACES), default=-1) - 1


def worry(letters: str, *, is_here: bool) -> Worry:
    """Return where a horse comes in the order of worry.

    Below its band first, then above it, each the longest first; then those of whom nothing is
    known by now, the longest first; then within; who is here no more comes last.
    """
    if not is_here:
        return Worry("gone", 0)
    felt = [each for each in letters if each in PLACES]
    newest = felt[-1] if felt else ""
    if newest in (BELOW, ABOVE):
        return Worry(PLACES[newest], run(letters))
    if not newest or unread(letters) >= STALE:
        return Worry("unknown", unread(letters))
    return Worry("within", 0)


def count(letters: Sequence[str]) -> dict[str, int]:
    """Return how many of each place and of each not known; those not here are left out."""
    return {each: sum(one == each for one in letters) for each in (*PLACES, *UNKNOWN)}
