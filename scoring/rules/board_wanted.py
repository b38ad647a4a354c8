"""What an address asks of the board: which horses, and from which on. All of it is in the address.

A link that is kept or sent on therefore shows the same; a value that is none of ours is not found.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime, timedelta
from typing import Any
from uuid import UUID

from scoring.rules import band, board, board_search
from yards.rules import address, errors, horse

NOT_PLACED = "none"
PLACES = (*band.PLACES, NOT_PLACED)
DUE, OVERDUE = "due", "overdue"
DUES = (DUE, OVERDUE)
_LISTS: Mapping[str, tuple[str, ...]] = {
    "group": board.GROUPS,
    "use": tuple(horse.USES),
    "place": PLACES,
    "trend": board.TRENDS,
    "due": DUES,
}
_IDS = ("yard", "assessor")
_BEGAN, _MICROSECOND = datetime(1970, 1, 1, tzinfo=UTC), timedelta(microseconds=1)
# Sixteen digits of microseconds reach into the year 2286.
_DIGITS = 16
_LATE_DIGITS, _LATEST = 5, 99_999
_CALMS = ("", str(board.ANSWERED), str(board.ONLY_LATE))


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which horses a board shows; empty is no bound. ``due`` takes what is overdue in too."""

    yard: UUID | None = None
    group: str = ""
    use: str = ""
    place: str = ""
    trend: str = ""
    due: str = ""
    assessor: UUID | None = None
    search: str = ""

    def pairs(self, **other: str) -> tuple[tuple[str, str], ...]:
        """Return names and values of an address, with others in their place; empty ones left out.

        Always in one order, so that one board has one address.
        """
        held = {each.name: str(getattr(self, each.name) or "") for each in fields(self)} | other
        return tuple((name, value) for name, value in held.items() if value)

    @property
    def narrowed(self) -> tuple[str, ...]:
        """Which filters are set, besides the yard and the group, which are seen by themselves."""
        return tuple(name for name, _ in self.pairs(yard="", group=""))


ALL = Wanted()


def read(asked: Mapping[str, str]) -> Wanted:
    """Return what an address asks for; raises NotFound for a value that is none of ours."""
    found: dict[str, Any] = {}
    for name, closed in _LISTS.items():
        value = asked.get(name, "")
        if value and value not in closed:
            raise errors.NotFound
        found[name] = value
    for name in _IDS:
        found[name] = address.ref(asked.get(name, ""))
    search = asked.get("search", "").strip()[: board_search.MOST]
    if "\x00" in search:
        raise errors.NotFound
    return Wanted(**found, search=search)


@dataclass(frozen=True, slots=True)
class Position:
    """Where a page begins: after a horse of a group, or before it. ``since``: the list's begin.

    The group, how calm the horse was in it and by how many days late (``board.calm``, ``late``) are
    kept beside the horse: where it stood when the page before was read, wherever it has gone since.
    """

    group: str
    horse: UUID
    is_before: bool = False
    since: datetime | None = None
    late: int = 0
    calm: int = board.WORRIES

    def pairs(self) -> dict[str, str]:
        """Return the position as an address has it."""
        late = f"-{self.late}" if self.group == board.ASSESS_TODAY else ""
        calm = f"~{self.calm}" if self.calm else ""
        place = {"before" if self.is_before else "after": f"{self.group}{late}{calm}.{self.horse}"}
        since = {} if self.since is None else {"since": str((self.since - _BEGAN) // _MICROSECOND)}
        return place | since


def position(asked: Mapping[str, str]) -> Position | None:
    """Return where an address begins, None at the top; raises NotFound for what is no position."""
    after, before = asked.get("after", ""), asked.get("before", "")
    if not after and not before:
        return None
    place, _, ref = (after or before).partition(".")
    place, _, calm = place.partition("~")
    group, _, late = place.partition("-")
    found = address.ref(ref)
    if group not in board.GROUPS or found is None or calm not in _CALMS:
        raise errors.NotFound
    since = _since(asked.get("since", ""))
    # An address that does not say how calm the horse was passes nobody of the group over.
    return Position(group, found, not after, since, _late(group, late), int(calm or 0))


def _late(group: str, text: str) -> int:
    """Return by how many days a horse was late; where that is not told, the group's first days."""
    if not text and group == board.ASSESS_TODAY:
        return _LATEST
    if text and not (group == board.ASSESS_TODAY and _is_number(text, _LATE_DIGITS)):
        raise errors.NotFound
    return int(text or 0)


def _is_number(text: str, most: int) -> bool:
    return text.isascii() and text.isdigit() and len(text) <= most


def _since(text: str) -> datetime | None:
    if not text:
        return None
    if not _is_number(text, _DIGITS):
        raise errors.NotFound
    return _BEGAN + int(text) * _MICROSECOND
