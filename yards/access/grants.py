"""Which grants let somebody in: asked at the door, of who is told, and of who can see what."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q

from yards.models import Grant, Organisation, rows
from yards.rules.roles import Role


def in_force_at(now: datetime) -> Q:
    """Return the condition that a grant has begun, has not ended and was not revoked.

    A vet's counts from the vet's own confirmation on.
    """
    return Q(
        Q(until_at__isnull=True) | Q(until_at__gt=now),
        from_at__lte=now,
        revoked_at__isnull=True,
    ) & ~Q(role=Role.VET, confirmed_at__isnull=True)


# ``in_force_at`` of a grant that a statement calls ``held``. Asked of every request, so of one text
# for everybody at any moment.
IN_FORCE = """(held.until_at IS NULL OR held.until_at > %(now)s)
    AND held.from_at <= %(now)s
    AND held.revoked_at IS NULL
    AND NOT (held.role = 'vet' AND held.confirmed_at IS NULL)"""

_HELD = f"""SELECT {rows.columns(Grant, "held")}, {rows.columns(Organisation, "organisation")}
    FROM yards_grant held JOIN yards_organisation organisation
        ON organisation.id = held.organisation_id
    JOIN yards_user person ON person.id = held.person_id
    WHERE held.person_id = %(person)s AND person.is_active AND {IN_FORCE}
    ORDER BY organisation.name_key, organisation.id, held.id"""  # noqa: S608 - constants only


def held_by(person: UUID, now: datetime, organisation: UUID | None = None) -> list[Grant]:
    """Return a person's grants in force, by their organisations' names; a disabled person has none.

    ``organisation`` None is every one. Each comes with its organisation.
    """
    held = [_grant(each) for each in rows.asked(_HELD, {"person": person, "now": now})]
    return [each for each in held if organisation in {None, each.organisation_id}]


def _grant(values: Sequence[Any]) -> Grant:
    grant: Grant
    grant, grant.organisation = rows.several(values, Grant, Organisation)
    return grant
