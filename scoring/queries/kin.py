"""A horse and the unknown animals that turned out to be it, and when they came and moved."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import connection

# Asked after every reading, so all in one question. The organisation's wall is in the database.
_MEMBERS = """SELECT horse.id, coalesce(horse.merged_into_id, horse.id),
        (SELECT min(from_at) FROM yards_stay WHERE horse_id = horse.id AND from_at <= %(now)s),
        (SELECT max(from_at) FROM yards_stay WHERE horse_id = horse.id AND from_at <= %(now)s),
        (SELECT max(at) FROM yards_horseevent
            WHERE horse_id = horse.id AND kind = 'arrived' AND at <= %(now)s),
        (SELECT max(at) FROM yards_horseevent
            WHERE horse_id = horse.id AND kind = 'returned' AND at <= %(now)s)
    FROM yards_horse horse
    WHERE horse.id = ANY(%(horses)s) OR horse.merged_into_id = ANY(%(horses)s)"""


@dataclass(frozen=True, slots=True)
class Came:
    """When an animal came to this house, and when last to a yard or back to it."""

    arrived_at: datetime | None = None
    moved_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Kin:
    """``members``: each animal's key to its horse's. ``came``: by horse key."""

    members: Mapping[int, int]
    came: Mapping[int, Came]


def kin_of(horses: Sequence[int], now: datetime) -> Kin:
    """Return the kin of horses, in one query."""
    with connection.cursor() as cursor:
        cursor.execute(_MEMBERS, {"horses": list(horses), "now": now})
        rows = cursor.fetchall()
    came = {
        horse: _came([times for _, into, *times in rows if into == horse]) for horse in set(horses)
    }
    return Kin({member: into for member, into, *_ in rows}, came)


def _came(rows: Sequence[Sequence[datetime | None]]) -> Came:
    """Return it from first stay, last stay, last 'arrived' and last 'returned' of each member."""
    first, last, arrived, returned = (
        [at for at in column if at is not None] for column in zip(*rows, strict=True)
    )
    return Came(
        arrived_at=max([*([min(first)] if first else []), *arrived], default=None),
        moved_at=max([*last, *returned], default=None),
    )
