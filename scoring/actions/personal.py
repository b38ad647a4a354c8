"""Handing one person's data out: entered, since it gathers in one file what lies apart."""

from datetime import datetime
from uuid import UUID

from scoring.queries import personal
from yards import audit
from yards.access import doors
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.fields import Reader, given
from yards.rules.roles import Verb, Viewer


def export_person(viewer: Viewer, raw: object, *, now: datetime) -> tuple[UUID, str]:
    """Return a person's id and, as JSON, all that names them here; with one entry that says so.

    Raises NotAllowed, or Invalid for a person who has never had a grant here.
    """
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    reader = Reader(raw)
    named = reader.uuid("person", required=True)
    reader.finish()
    person = given(named)
    try:
        held = personal.get_held(viewer, person)
    except errors.NotFound as error:
        raise errors.Invalid(FieldError("person", "unknown_reference")) from error
    audit.record(
        viewer,
        verb="person.exported",
        target=("person", person),
        payload={"rows": sum(held.counts.values())},
        at=now,
    )
    return person, personal.as_json(held, now)
