"""Whose access here ends within days: told on pages, and in the morning's mail."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from yards import isolation
from yards.access.grants import IN_FORCE
from yards.models import called, rows
from yards.queries import people
from yards.rules.roles import Viewer

# As far ahead as people are told that a grant ends.
WARNED = timedelta(days=7)
# A grant for a day or two is not news to whoever gave it, nor to whoever has it.
LASTS = timedelta(days=2)


@dataclass(frozen=True, slots=True)
class Ending:
    """One grant that ends soon: whose, as what, when, and who gave it."""

    grant: UUID
    person: people.PersonName
    role: str
    until: datetime
    issued_by: people.PersonName | None


# Not of whose access goes on in the same role.
_ENDING = f"""SELECT held.ref, person.id, {called.name_of("person")}, held.role, held.until_at,
        giver.id, {called.name_of("giver")}
    FROM yards_grant held JOIN yards_user person ON person.id = held.person_id
    LEFT JOIN yards_user giver ON giver.id = held.issued_by_id
    WHERE held.organisation_id = %(organisation)s AND {IN_FORCE} AND person.is_active
    AND held.until_at <= %(soon)s AND held.until_at > held.from_at + %(lasts)s
    AND NOT EXISTS (
        SELECT FROM yards_grant further
        WHERE further.organisation_id = held.organisation_id
        AND further.person_id = held.person_id AND further.role = held.role
        AND (further.until_at IS NULL OR further.until_at > held.until_at)
        AND further.from_at <= held.until_at AND further.revoked_at IS NULL
    )
    AND (%(everybodys)s OR held.issued_by_id = %(person)s)
    ORDER BY held.until_at, held.id"""  # noqa: S608 - constants only


def soon(viewer: Viewer, now: datetime) -> tuple[Ending, ...]:
    """Return whose access ends within days, soonest first; not whose goes on in the same role.

    One query. For actions only: it tells of people whatever the viewer's role.
    """
    return _told(viewer, now, everybodys=True)


def of_mine(viewer: Viewer, now: datetime) -> tuple[Ending, ...]:
    """Return as ``soon`` whom the viewer let in, in one query; asked with a coordinator's pages."""
    return _told(viewer, now, everybodys=False)


def _told(viewer: Viewer, now: datetime, *, everybodys: bool) -> tuple[Ending, ...]:
    isolation.required(viewer)
    bounds = {
        "organisation": viewer.organisation,
        "person": viewer.person,
        "everybodys": everybodys,
        "now": now,
        "soon": now + WARNED,
        "lasts": LASTS,
    }
    return tuple(
        Ending(
            grant,
            people.PersonName(person, name),
            role,
            until,
            people.PersonName(giver, giver_name) if giver is not None else None,
        )
        for grant, person, name, role, until, giver, giver_name in rows.asked(_ENDING, bounds)
    )
