"""What a change in yards must set off elsewhere, in the same transaction.

Typed lists of callables that another package's app config fills at start-up: scoring puts in what
keeps its standings and timers right. No signals: the order is the order of filling, a refusal or a
fault raised in one undoes the whole change, and a reader finds every caller by name.
"""

from collections.abc import Callable
from datetime import datetime
from uuid import UUID

from yards.models import GlassBreak, Horse, Yard
from yards.rules.roles import Viewer

OfHorse = Callable[[Viewer, Horse, datetime], None]
OfPerson = Callable[[Viewer, UUID, str, datetime], None]
OfName = Callable[[Viewer, UUID], int]
OfGlass = Callable[[Viewer, GlassBreak, datetime], None]
OfYard = Callable[[Viewer, Yard, datetime], None]
OfTwoHorses = Callable[[Viewer, Horse, datetime, Horse], None]

# A horse was registered; its first stay stands.
horse_made: list[OfHorse] = []
# Facts that bands and intervals hang on, or the status, may have changed; also a return.
horse_changed: list[OfHorse] = []
# Somebody was with the horse: one of ``yards.rules.event.VISITS`` was recorded.
horse_visited: list[OfHorse] = []
# The horse stands in another yard now.
horse_moved: list[OfHorse] = []
# The horse died or was rehomed; ``status`` and ``ended_at`` say which and when.
horse_ended: list[OfHorse] = []
# An unknown animal turned out to be the other: (viewer, unknown, now, identified).
horse_merged: list[OfTwoHorses] = []
# A yard was made.
yard_made: list[OfYard] = []
# A yard's zone, hemisphere or spring changed.
yard_changed: list[OfYard] = []

# Somebody may look at everything from now on: (viewer, the break-glass, now).
glass_approved: list[OfGlass] = []
# Somebody has been erased: (viewer, the person, the alias they are called by from now on, now).
person_erased: list[OfPerson] = []
# Their name is to go from what others wrote as well; each returns in how many rows it did.
person_unnamed: list[OfName] = []


def erased(viewer: Viewer, person: UUID, alias: str, now: datetime) -> None:
    """Call every hook for somebody erased, in order."""
    for hook in person_erased:
        hook(viewer, person, alias, now)


def unnamed(viewer: Viewer, person: UUID) -> int:
    """Call every hook for an erased person's name, in order; return in how many rows it went."""
    return sum(hook(viewer, person) for hook in person_unnamed)


def glass(viewer: Viewer, approved: GlassBreak, now: datetime) -> None:
    """Call every hook for a break-glass, in order."""
    for hook in glass_approved:
        hook(viewer, approved, now)


def horse(hooks: list[OfHorse], viewer: Viewer, changed: Horse, now: datetime) -> None:
    """Call every hook for a horse, in order."""
    for hook in hooks:
        hook(viewer, changed, now)


def yard(hooks: list[OfYard], viewer: Viewer, changed: Yard, now: datetime) -> None:
    """Call every hook for a yard, in order."""
    for hook in hooks:
        hook(viewer, changed, now)


def merged(viewer: Viewer, unknown: Horse, now: datetime, identified: Horse) -> None:
    """Call every hook for a merge, in order."""
    for hook in horse_merged:
        hook(viewer, unknown, now, identified)
