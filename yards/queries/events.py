"""What happened to a horse besides readings, as readers see it."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from yards.access import doors
from yards.models import HorseEvent
from yards.queries import paging, people
from yards.rules import errors
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class EventRow:
    """One event. ``horse`` is the animal it was recorded of, perhaps one merged since."""

    ref: UUID
    horse: UUID
    kind: str
    at: datetime
    note: str
    recorded_by: people.PersonName | None
    recorded_at: datetime


def row_of(event: HorseEvent) -> EventRow:
    """Return an event's row, with its horse and recorder joined."""
    return EventRow(
        ref=event.ref,
        horse=event.horse.ref,
        kind=event.kind,
        at=event.at,
        note=event.note,
        recorded_by=people.name_of(event.recorded_by),
        recorded_at=event.recorded_at,
    )


def list_events(
    viewer: Viewer, ref: UUID, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[EventRow]:
    """Return a horse's events, last recorded first, with those of animals merged into it."""
    horse = doors.horse_for_read(viewer, ref)
    doors.require(viewer, Verb.READ_HORSES)
    rows = HorseEvent.objects.filter(Q(horse=horse) | Q(horse__merged_into=horse))
    return paging.page_of(
        viewer,
        rows.select_related("horse", "recorded_by"),
        lambda found: [row_of(event) for event in found],
        name=f"events of {ref}",
        cursor=cursor,
        size=size,
    )


def get_event(viewer: Viewer, horse: UUID, ref: UUID) -> EventRow:
    """Return one event of a horse, or raise NotFound or NotAllowed."""
    of = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_HORSES)
    rows = HorseEvent.objects.filter(horse=of, ref=ref).select_related("horse", "recorded_by")
    event = rows.first()
    if event is None:
        raise errors.NotFound
    return row_of(event)
