"""Somebody is away for a time: they are not told while anybody else can be."""

from dataclasses import replace
from datetime import datetime
from uuid import UUID

from scoring.models import Absence
from scoring.queries import absences as queries
from scoring.queries import hearers
from scoring.rules import absence
from yards import audit, isolation
from yards.access import doors
from yards.actions import once
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

SET, ENDED = "absence.set", "absence.ended"


def set_away(viewer: Viewer, raw: object, *, now: datetime) -> queries.AbsenceCard:
    """Say that oneself is away, or, for a coordinator, somebody else; the same again is a replay.

    Raises NotAllowed, Invalid or Conflict.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.ANSWER_ALERTS)
    own = doors.person_of(viewer)
    said = absence.check(raw, now=now)
    person = said.person or own
    if person != own:
        doors.require(viewer, Verb.CHANGE_PEOPLE)
        if hearers.of_house(viewer, now=now).role_of(person) is None:
            raise errors.Invalid(FieldError("person", "unknown_reference"))
    row, is_new = once.insert(
        Absence(
            organisation_id=viewer.organisation,
            ref=once.new_ref(said.id),
            person_id=person,
            from_at=said.from_at or now,
            until_at=said.until_at,
            reason=said.reason,
            set_by_id=own,
            set_at=now,
        )
    )
    content = replace(said, person=person).content()
    if is_new:
        once.made(viewer, verb=SET, target=("absence", row.ref), content=content, at=now)
        return queries.get_absence(viewer, row.ref)
    once.replayed(viewer, verb=SET, ref=row.ref, content=content)
    return replace(queries.get_absence(viewer, row.ref), replayed=True)


def end(viewer: Viewer, ref: UUID, raw: object, *, now: datetime) -> queries.AbsenceCard:
    """End an absence before its time. Raises NotFound, NotAllowed, Invalid or Conflict."""
    row = queries.absence_for_end(viewer, ref)
    reason = absence.ending(raw)
    if row.ended_at is not None or row.until_at <= now:
        raise errors.Conflict(FieldError("", "absence_is_over"))
    row.ended_at, row.ended_by_id = now, doors.person_of(viewer)
    row.save(update_fields=["ended_at", "ended_by"])
    payload = {
        "person": str(row.person_id),
        "until": audit.stamp(row.until_at),
        "reason": reason,
    }
    audit.record(viewer, verb=ENDED, target=("absence", row.ref), payload=payload, at=now)
    return queries.get_absence(viewer, ref)
