"""What somebody may see within their scope: horses for named people, parts of the record, need."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import TypedDict
from uuid import UUID

from django.db import connection
from django.db.models import F

from yards.models import GlassBreak, Grant, Restriction
from yards.rules.roles import SIGHTS, Role, Verb, Viewer

# Asked of every request. As joins: IN lists with OR between them go through every horse there is.
_HIDDEN = """
WITH closed AS (
    SELECT each.horse_id FROM yards_restriction each
    WHERE each.lifted_at IS NULL AND NOT EXISTS (
        SELECT FROM yards_restrictionperson named
        WHERE named.restriction_id = each.id AND named.person_id = %s
    )
)
SELECT horse_id FROM closed
UNION
SELECT horse.id FROM closed JOIN yards_horse horse ON horse.merged_into_id = closed.horse_id
UNION
SELECT horse.merged_into_id FROM closed JOIN yards_horse horse ON horse.id = closed.horse_id
WHERE horse.merged_into_id IS NOT NULL
"""


class Sight(TypedDict):
    """What the grants of a role open of the record; see ``Viewer``."""

    record_from: datetime | None
    record_until: datetime | None
    extra: frozenset[Verb]


def hidden_from(person: UUID) -> frozenset[int]:
    """Return the keys of the horses that are restricted to others, in the open organisation.

    With an animal goes what it turned out to be, and what turned out to be it.
    """
    with connection.cursor() as cursor:
        cursor.execute(_HIDDEN, [person])
        return frozenset(key for (key,) in cursor.fetchall())


def restricted() -> dict[int, frozenset[UUID]]:
    """Return who may know of each restricted horse of the open organisation, by its key."""
    found: dict[int, set[UUID]] = {}
    rows = Restriction.objects.filter(lifted_at__isnull=True).order_by("id")
    for horse, into, person in rows.values_list(
        "horse_id", "horse__merged_into_id", "people__person_id"
    ):
        for key in (horse, into):
            if key is not None:
                found.setdefault(key, set()).add(person)
    return {key: frozenset(people) for key, people in found.items()}


def of_grants(grants: Sequence[Grant]) -> Sight:
    """Return what several grants of one role open together: no more than each of them does.

    Two windows are not one: what both bound is open, so that no horse of one grant is seen in the
    time of another.
    """
    first = [grant.record_from for grant in grants if grant.record_from is not None]
    last = [grant.record_until for grant in grants if grant.record_until is not None]
    extra = {verb for name, verb in SIGHTS.items() if all(getattr(each, name) for each in grants)}
    return Sight(
        record_from=max(first, default=None),
        record_until=min(last, default=None),
        extra=frozenset(extra),
    )


def glass_of(person: UUID, now: datetime) -> GlassBreak | None:
    """Return the break-glass under which somebody may look now, in the open organisation."""
    in_force = GlassBreak.objects.filter(person_id=person, until_at__gt=now, ended_at__isnull=True)
    return in_force.exclude(approved_by=F("person")).order_by("-id").first()


def widened(viewer: Viewer, now: datetime) -> Viewer:
    """Return the viewer as break-glass opens the organisation to them: to read, until it ends."""
    if viewer.person is None:
        return viewer
    glass = glass_of(viewer.person, now)
    if glass is None or glass.until_at is None:
        return viewer
    ends = [each for each in (glass.until_at, viewer.expires_at) if each is not None]
    return replace(
        viewer,
        role=viewer.role if viewer.role is Role.COORDINATOR else Role.AUDITOR,
        yards=None,
        horses=frozenset(),
        hidden=frozenset(),
        record_from=None,
        record_until=None,
        extra=frozenset(SIGHTS.values()) | viewer.extra,
        expires_at=min(ends),
        glass=glass.ref,
    )
