"""Makes standings again from the readings: for an operator who has reason to doubt a row."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from scoring.actions import episodes, standing, subjects
from scoring.models import Standing
from yards import audit, isolation
from yards.models import Horse, Organisation, User
from yards.rules.roles import Viewer

REBUILT = "standing.rebuilt"
_TOLD = (*(name for name in standing.KEPT if name != "updated_at"), "open_alerts")


def organisations() -> list[UUID]:
    """Return every organisation in which anybody holds or held a grant, in order of id.

    The wall shows a process without a person none of them, so each person is asked for theirs.
    Opens the door itself, one short transaction a person: for commands.
    """
    found: set[UUID] = set()
    for person in User.objects.order_by("id").values_list("id", flat=True):
        with isolation.door(person=person):
            found.update(Organisation.objects.values_list("id", flat=True))
    return sorted(found)


def horses(viewer: Viewer) -> list[int]:
    """Return the keys of every horse of the organisation, in the order in which rows are locked."""
    isolation.required(viewer)
    return list(Horse.objects.order_by("id").values_list("id", flat=True))


def rebuild_standing(viewer: Viewer, horse_id: int, *, now: datetime) -> Sequence[str]:
    """Make one horse's standing again; return the names of what differed, empty when nothing did.

    What the calendar alone changed since (the place in a band whose aim moved) counts as different
    too. A row that was put right has an entry, with the names and no values.
    """
    isolation.required(viewer)
    horse = Horse.objects.get(id=horse_id)
    missing = not Standing.objects.filter(horse_id=horse_id).exists()
    if missing:
        standing.make(viewer, horse, now)
    held = subjects.locked(horse)
    before = _told(horse_id)
    standing.rebuild(viewer, held, now)
    episodes.count_open(viewer, [horse_id])
    after = _told(horse_id)
    differed = ["missing"] if missing else [name for name in _TOLD if before[name] != after[name]]
    if differed:
        audit.record(
            viewer,
            verb=REBUILT,
            target=("horse", horse.ref),
            payload={"differed": differed},
            at=now,
        )
    return differed


def _told(horse_id: int) -> dict[str, object]:
    return dict(Standing.objects.values(*_TOLD).get(horse_id=horse_id))
