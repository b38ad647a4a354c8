"""Which horses the herd's pages are of, and over which months: what all of their statements share.

A horse counts in a month in the yard where it last stood in it; who came, left or died counts only
in the months that its stays reach into. Animals that turned out to be one count once, with the
readings of both. Only horses in the viewer's scope are asked for, and only in yards in scope.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import connection

from scoring.rules import herd_months, reading
from scoring.rules.herd_months import Month
from scoring.rules.herd_wanted import Wanted
from yards.access import doors
from yards.models import Yard
from yards.rules import daytime, errors
from yards.rules.roles import Verb, Viewer

# One row a horse: its own key and those of animals that turned out to be it, and its clock. What
# follows asks for stays and readings horse by horse, by their indexes: a plan that joined such
# lists to one another would do well or very badly, by what is known of the tables just then.
ANIMAL = """place AS (
    SELECT * FROM unnest(%(yards)s::bigint[], %(zones)s::smallint[], %(names)s::text[],
        %(todays)s::date[]) AS place (yard_id, zone, time_zone, today)
), animal AS MATERIALIZED (
    SELECT owner.id, owner.id || coalesce((SELECT array_agg(one.id) FROM yards_horse one
            WHERE one.merged_into_id = owner.id), ARRAY[]::bigint[]) AS ids,
        place.zone, place.time_zone, place.today, owner.species, owner.laminitis, owner.status,
        owner.created_at
    FROM yards_horse owner JOIN place ON place.yard_id = owner.yard_id
    WHERE owner.merged_into_id IS NULL{owner}
)"""
MONTH = """month AS (
    SELECT * FROM unnest(%(month_zones)s::smallint[], %(month_numbers)s::smallint[],
        %(month_begins)s::timestamptz[], %(month_ends)s::timestamptz[])
        AS month (zone, month, from_at, until_at)
)"""
# The last version of what was put right, in any manner; few were, so they are looked up at once.
CURRENT = """row.id NOT IN
    (SELECT supersedes_id FROM scoring_assessment WHERE supersedes_id IS NOT NULL)"""
FELT = "row.manner = %(felt)s AND row.overall_sixths IS NOT NULL"


@dataclass(frozen=True, slots=True)
class Scope:
    """The yards in scope by name, the chosen one, the months; what statements are asked with.

    ``zone`` is the chosen yard's, or the first's, and ``today`` its day.
    """

    wanted: Wanted
    yards: Sequence[Yard]
    chosen: Yard | None
    months: tuple[Month, ...]
    zone: str
    today: date
    owner: str
    asked: dict[str, Any]

    @property
    def places(self) -> Sequence[Yard]:
        """The chosen yard, or all."""
        return self.yards if self.chosen is None else [self.chosen]

    @property
    def names(self) -> dict[int, Yard]:
        """The yards by key."""
        return {each.id: each for each in self.yards}

    def rows(self, statement: str, **more: Any) -> list[tuple[Any, ...]]:
        """Return what a statement answers; ``{owner}`` in it is what horses are narrowed to."""
        with connection.cursor() as cursor:
            cursor.execute(statement.replace("{owner}", self.owner), self.asked | more)
            found: list[tuple[Any, ...]] = cursor.fetchall()
            return found


def scope(viewer: Viewer, wanted: Wanted, *, now: datetime) -> Scope:
    """Return the scope, in one query; raises NotFound for a yard that is not in the viewer's."""
    doors.require(viewer, Verb.READ_STANDING)
    yards = list(doors.yards_in_scope(viewer).order_by("name_key", "id"))
    chosen = next((each for each in yards if each.ref == wanted.yard), None)
    if wanted.yard is not None and chosen is None:
        raise errors.NotFound
    place = chosen or (yards[0] if yards else None)
    zone = place.time_zone if place is not None else "UTC"
    today = daytime.local_date(now, zone)
    months = herd_months.until(today, wanted.months)
    owner, asked = _narrowed(viewer, wanted)
    asked |= _places(yards, months, now) | {
        "now": now,
        "felt": reading.PALPATED,
        "chosen": chosen.id if chosen is not None else None,
        "last_month": len(months),
    }
    return Scope(wanted, yards, chosen, months, zone, today, owner, asked)


def _narrowed(viewer: Viewer, wanted: Wanted) -> tuple[str, dict[str, Any]]:
    """Return what horses are narrowed to in every yard, and what it asks with."""
    held: list[str] = []
    asked: dict[str, Any] = {}
    if viewer.yards is not None:
        held.append("(owner.yard_id = ANY(%(own)s) OR owner.id = ANY(%(named)s))")
        asked = {"own": list(viewer.yards), "named": list(viewer.horses)}
    if wanted.use:
        held.append("owner.use = %(use)s")
        asked["use"] = wanted.use
    return "".join(f" AND {each}" for each in held), asked


def _places(yards: Sequence[Yard], months: tuple[Month, ...], now: datetime) -> dict[str, Any]:
    """Return yards with their clocks, and the months' bounds by each clock."""
    zones = sorted({each.time_zone for each in yards})
    numbers = {zone: number for number, zone in enumerate(zones)}
    found: dict[str, Any] = {
        "yards": [each.id for each in yards],
        "zones": [numbers[each.time_zone] for each in yards],
        "names": [each.time_zone for each in yards],
        "todays": [daytime.local_date(now, each.time_zone) for each in yards],
        **{f"month_{name}": [] for name in ("zones", "numbers", "begins", "ends")},
    }
    for zone in zones:
        bounds = herd_months.bounds(months, zone)
        found["month_zones"] += [numbers[zone]] * len(months)
        found["month_numbers"] += range(1, len(months) + 1)
        found["month_begins"] += bounds[:-1]
        found["month_ends"] += bounds[1:]
    return found
