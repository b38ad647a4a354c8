"""Whose access here ends within days: told on pages, and in the morning's mail."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Exists, F, OuterRef, Q, QuerySet

from yards.access.grants import in_force_at
from yards.models import Grant
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


def soon(viewer: Viewer, now: datetime) -> tuple[Ending, ...]:
    """Return whose access ends within days, soonest first; not whose goes on in the same role.

    One query. For actions only: it tells of people whatever the viewer's role.
    """
    return _told(_rows(viewer, now))


def of_mine(viewer: Viewer, now: datetime) -> tuple[Ending, ...]:
    """Return as ``soon`` whom the viewer let in, in one query."""
    return _told(_rows(viewer, now).filter(issued_by_id=viewer.person))


def _rows(viewer: Viewer, now: datetime) -> QuerySet[Grant]:
    here = people.grants_here(viewer)
    further = here.filter(
        Q(until_at__isnull=True) | Q(until_at__gt=OuterRef("until_at")),
        person_id=OuterRef("person_id"),
        role=OuterRef("role"),
        from_at__lte=OuterRef("until_at"),
        revoked_at__isnull=True,
    )
    return here.filter(
        ~Exists(further),
        in_force_at(now),
        person__is_active=True,
        until_at__lte=now + WARNED,
        until_at__gt=F("from_at") + LASTS,
    )


def _told(rows: QuerySet[Grant]) -> tuple[Ending, ...]:
    found = rows.select_related("person", "issued_by").order_by("until_at", "id")
    return tuple(
        Ending(
            row.ref,
            people.PersonName(row.person.id, row.person.name),
            row.role,
            row.until_at,
            people.name_of(row.issued_by),
        )
        for row in found
        if row.until_at is not None
    )
