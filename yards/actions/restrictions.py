"""Making a horse known to named people only, naming others, and opening it again."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

import uuid_utils.compat as uuid_utils

from yards import audit, isolation
from yards.access import doors
from yards.models import Grant, Horse, Restriction, RestrictionPerson
from yards.rules import errors
from yards.rules import restriction as rule
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

RESTRICTED, OPENED = "horse.restricted", "horse.opened"


def restrict(viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime) -> audit.Receipt:
    """Restrict a horse to named people from now on; whoever does it is always among them.

    Naming others lifts the restriction that stands and makes another. Everybody else is answered
    as if the horse never was, coordinators too.
    """
    isolation.required(viewer)
    horse = doors.horse_for_write(viewer, ref, Verb.RESTRICT_HORSES)
    facts = rule.check(raw)
    own = doors.person_of(viewer)
    people = sorted({*facts.people, own})
    known = Grant.objects.filter(organisation_id=viewer.organisation, person_id__in=people)
    if set(people) - set(known.values_list("person_id", flat=True)):
        raise errors.Invalid(FieldError("people", "unknown_reference"))
    _lift(viewer, horse, now)
    made = Restriction.objects.create(
        organisation_id=viewer.organisation,
        ref=uuid_utils.uuid7(),
        horse=horse,
        reason=facts.reason,
        made_by_id=own,
        made_at=now,
    )
    RestrictionPerson.objects.bulk_create(
        RestrictionPerson(
            organisation_id=viewer.organisation,
            ref=uuid_utils.uuid7(),
            restriction=made,
            person_id=each,
        )
        for each in people
    )
    said = {"reason": facts.reason, "people": [str(each) for each in people]}
    return audit.record(viewer, verb=RESTRICTED, target=("horse", ref), payload=said, at=now)


def lift(viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime) -> audit.Receipt:
    """Let everybody in whose scope the horse is know of it again; raises Conflict if they do."""
    isolation.required(viewer)
    horse = doors.horse_for_write(viewer, ref, Verb.RESTRICT_HORSES)
    facts = rule.check_opening(raw)
    if not _lift(viewer, horse, now):
        raise errors.Conflict(FieldError("", "not_restricted"))
    said = {"reason": facts.reason}
    return audit.record(viewer, verb=OPENED, target=("horse", ref), payload=said, at=now)


def _lift(viewer: Viewer, horse: Horse, now: datetime) -> int:
    standing = Restriction.objects.filter(horse=horse, lifted_at__isnull=True)
    return standing.update(lifted_at=now, lifted_by_id=viewer.person)
