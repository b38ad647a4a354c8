"""A grant for today: a vet who comes once, an officer who comes unannounced."""

from collections.abc import Mapping
from datetime import datetime, time
from typing import Any
from uuid import UUID

from yards import isolation
from yards.access import doors, zones
from yards.actions import grants, once
from yards.models import Grant
from yards.rules import daytime, errors
from yards.rules.errors import FieldError
from yards.rules.fields import Reader
from yards.rules.grant import ALL
from yards.rules.roles import Role, Verb, Viewer

ROLES = (Role.VET.value, Role.AUDITOR.value)


def issue(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """Let somebody known here in to all yards until midnight by the first yard's clock.

    ``role`` is vet or auditor; a vet's number is that of an earlier grant, and without one the
    whole form has to be filled in. ``reason`` is required.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    reader = Reader(raw)
    ref, person = reader.uuid("id"), reader.uuid("person", required=True)
    role = reader.choice("role", ROLES, required=True)
    reason = reader.text("reason", most=300, required=True)
    reader.finish()
    body: dict[str, Any] = {
        "person": str(person),
        "role": role,
        "yards": ALL,
        "until": midnight(viewer, now).isoformat(),
        "reason": reason,
    }
    if ref is not None:
        body["id"] = str(ref)
    if role == Role.VET and person is not None:
        body |= _number(viewer, person)
    return grants.issue_grant(viewer, body, now=now)


def midnight(viewer: Viewer, now: datetime) -> datetime:
    """Return when today ends, by the clock of the organisation's first yard."""
    isolation.required(viewer)
    return daytime.next_local(now, zones.first(), time.min)


def _number(viewer: Viewer, person: UUID) -> dict[str, str]:
    rows = Grant.objects.filter(organisation_id=viewer.organisation, person_id=person, role="vet")
    last = rows.order_by("-id").first()
    if last is None:
        raise errors.Invalid(FieldError("person", "no_number_of_this_vet"))
    return {"registration_number": last.registration_number, "register": last.register}
