"""What somebody may see within their scope: horses for named people, parts of the record, need."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import NamedTuple, TypedDict
from uuid import UUID

from yards.models import Grant, Restriction
from yards.rules.roles import SIGHTS, Role, Verb, Viewer

# The keys of the horses that are restricted to others than ``person``, in the open organisation.
# With an animal goes what it turned out to be, and what turned out to be it. As joins: IN lists
# with OR between them go through every horse there is.
HIDDEN = """
WITH closed AS (
    SELECT each.horse_id FROM yards_restriction each
    WHERE each.lifted_at IS NULL AND NOT EXISTS (
        SELECT FROM yards_restrictionperson named
        WHERE named.restriction_id = each.id AND named.person_id = %(person)s
    )
)
SELECT horse_id FROM closed
UNION
SELECT horse.id FROM closed JOIN yards_horse horse ON horse.merged_into_id = closed.horse_id
UNION
SELECT horse.merged_into_id FROM closed JOIN yards_horse horse ON horse.id = closed.horse_id
WHERE horse.merged_into_id IS NOT NULL
"""
# The break-glass under which ``person`` may look ``now``, in the open organisation.
GLASS = """
SELECT ref, until_at FROM yards_glassbreak
WHERE person_id = %(person)s AND approved_by_id <> person_id
    AND until_at > %(now)s AND ended_at IS NULL
ORDER BY id DESC LIMIT 1
"""


class Glass(NamedTuple):
    """A break-glass in force: its id, and when it ends."""

    ref: UUID
    until: datetime


class Sight(TypedDict):
    """What the grants of a role open of the record; see ``Viewer``."""

    record_from: datetime | None
    record_until: datetime | None
    extra: frozenset[Verb]


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


def widened(viewer: Viewer, glass: Glass) -> Viewer:
    """Return the viewer as break-glass opens the organisation to them: to read, until it ends."""
    return replace(
        viewer,
        role=viewer.role if viewer.role is Role.COORDINATOR else Role.AUDITOR,
        yards=None,
        horses=frozenset(),
        hidden=frozenset(),
        record_from=None,
        record_until=None,
        extra=frozenset(SIGHTS.values()) | viewer.extra,
        expires_at=min(glass.until, viewer.expires_at or glass.until),
        glass=glass.ref,
    )
