"""Making an organisation, with the first person who may let others in, and what it chooses."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

import uuid_utils.compat as uuid_utils

from yards import audit, isolation
from yards.access import doors
from yards.actions import grants, once, people
from yards.models import Organisation
from yards.rules import errors, fields, identity, organisation
from yards.rules import grant as rule
from yards.rules.roles import Role, Verb, Viewer

MADE, CHANGED = "organisation.made", "organisation.changed"


@dataclass(frozen=True, slots=True)
class MadeOrganisation:
    """A new organisation, its first coordinator, and that person's grant."""

    organisation: UUID
    coordinator: UUID
    grant: UUID
    receipt: audit.Receipt


def make_organisation(
    viewer: Viewer,
    *,
    name: str,
    email: str,
    coordinator: str,
    now: datetime,
    password: str | None = None,
) -> MadeOrganisation:
    """Make the viewer's organisation, and its first coordinator by e-mail.

    For the server's own commands: the viewer is the SYSTEM in an organisation whose id they have
    just made. ``password`` is for a person who is new; others keep theirs.
    """
    isolation.required(viewer)
    if viewer.role is not Role.SYSTEM:
        raise errors.NotAllowed
    reader = fields.Reader({"name": name, "coordinator": coordinator, "email": email})
    called = reader.text("name", most=120, required=True)
    who = reader.text("coordinator", most=120, required=True)
    address = reader.text("email", most=254, required=True).lower()
    if not reader.faults and not people.is_address(address):
        reader.refuse("email", "not_an_email")
    reader.finish()
    Organisation.objects.create(
        id=viewer.organisation, name=called, name_key=identity.name_key(called), created_at=now
    )
    person = people.find_or_make(email=address, name=who, now=now, password=password)
    ref = uuid_utils.uuid7()
    facts = rule.check({"person": str(person.id), "role": "coordinator", "yards": "all"}, now=now)
    grant = grants.row_of(
        viewer, facts, person, ref=ref, digest=once.digest(facts.content()), now=now
    )
    grant.save(force_insert=True)
    receipt = audit.record(
        viewer,
        verb=MADE,
        target=("organisation", viewer.organisation),
        payload={
            "name": called,
            "coordinator": str(person.id),
            "email": person.email,
            "grant": str(ref),
        },
        at=now,
    )
    return MadeOrganisation(viewer.organisation, person.id, ref, receipt)


def change_organisation(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> once.Changed:
    """Set what the viewer's organisation chose, from the version seen.

    ``{overall_rule, second_factor, version}``; what is left out of the second stays.

    Raises NotAllowed, Invalid, or Conflict when somebody else changed it since.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.CHANGE_ORGANISATION)
    change = organisation.check_change(raw)
    row = Organisation.objects.select_for_update(no_key=True).get(id=viewer.organisation)
    once.require_version(row.version, change.version)
    said = once.differences({name: getattr(row, name) for name in change.changes}, change.changes)
    for name, value in change.changes.items():
        setattr(row, name, value)
    row.version += 1
    row.save(update_fields=[*change.changes, "version"])
    return once.changed(
        viewer,
        verb=CHANGED,
        target=("organisation", row.id),
        version=row.version,
        said=said,
        at=now,
    )
