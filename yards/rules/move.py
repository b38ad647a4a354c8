"""A horse's change of yard, and an unknown animal's joining the one it turned out to be."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from yards.rules import plain
from yards.rules.fields import Reader, given

AHEAD = timedelta(minutes=5)
REASON_MOST = 500


@dataclass(frozen=True, slots=True)
class Move:
    """Where a horse goes, and when; ``at`` None is now."""

    id: UUID | None
    yard: UUID
    at: datetime | None

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset({"id"}))


@dataclass(frozen=True, slots=True)
class Merge:
    """The known animal that an unknown one turned out to be, and how it was told."""

    into: UUID
    reason: str

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset())


def check(raw: object, *, now: datetime) -> Move:
    """Return a move, or raise Invalid: an unknown field, no yard, a time in the future."""
    reader = Reader(raw)
    ref, yard, at = reader.uuid("id"), reader.uuid("yard", required=True), reader.instant("at")
    if at is not None and at > now + AHEAD:
        reader.refuse("at", "in_the_future")
    reader.finish()
    return Move(ref, given(yard), at)


def check_merge(raw: object) -> Merge:
    """Return a merge, or raise Invalid; ``into`` names the known animal."""
    reader = Reader(raw)
    into = reader.uuid("into", required=True)
    reason = reader.text("reason", most=REASON_MOST)
    reader.finish()
    return Merge(given(into), reason)
