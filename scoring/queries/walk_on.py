"""Where a walk goes on after a horse: the next in its order that nobody scored today."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from scoring.queries import rounds, scored_today
from scoring.rules import due
from yards.rules.roles import Viewer


@dataclass(frozen=True, slots=True)
class WalkOn:
    """How many of a yard's ``horses`` are ``done`` today, and who is next; None where all are."""

    yard: UUID
    done: int
    horses: int
    next: rounds.RoundHorse | None


def walk_on(
    viewer: Viewer, yard: UUID, horse: UUID, *, due_first: bool = False, now: datetime
) -> WalkOn:
    """Return where the walk goes on after a horse: those behind it first, then from the first.

    ``due_first`` is the order of a round that was opened so: what is due before all else.

    Raises NotFound or NotAllowed as the round does.
    """
    walked = rounds.the_round(viewer, yard, now=now)
    today = scored_today.scored_today(viewer, walked.yard, now=now)
    place = next((each.order for each in walked.horses if each.id == horse), 0)
    left = [each for each in walked.horses if each.id not in today and each.id != horse]
    left.sort(
        key=lambda each: (
            due_first and each.due.state == due.NOT_DUE,
            each.order < place,
            each.order,
        )
    )
    done = sum(each.id in today for each in walked.horses)
    return WalkOn(yard, done, len(walked.horses), left[0] if left else None)
