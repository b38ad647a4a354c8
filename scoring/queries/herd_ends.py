"""The herd at the end of winter and at the end of autumn, this year and the year before.

Who stood in a yard at the end of that day counts, by the felt score nearest to it within four
weeks on either side; of two as near the newer. By scale, in half points outside its own band.
"""

import collections
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from scoring.queries import herd_scope
from scoring.queries.herd_scope import Scope
from scoring.rules import herd_season, herd_step
from scoring.rules.herd_season import End
from yards.models import Yard
from yards.rules import daytime, seasons

_ENDS = f"""WITH {herd_scope.ANIMAL}, ended AS (
    SELECT * FROM unnest(%(end_yards)s::bigint[], %(end_numbers)s::smallint[],
        %(end_ats)s::timestamptz[], %(end_firsts)s::timestamptz[], %(end_untils)s::timestamptz[])
        AS ended (yard_id, number, at, first_at, until_at)
), stood AS MATERIALIZED (
    SELECT DISTINCT ON (animal.id, ended.number) animal.id, animal.ids, ended.*
    FROM animal
    CROSS JOIN LATERAL (SELECT * FROM yards_stay WHERE horse_id = ANY(animal.ids) OFFSET 0) stay
    JOIN ended ON ended.yard_id = stay.yard_id AND stay.from_at < ended.at
        AND (stay.until_at IS NULL OR stay.until_at >= ended.at)
    WHERE %(chosen)s::bigint IS NULL OR stay.yard_id = %(chosen)s
    ORDER BY animal.id, ended.number, stay.from_at DESC, stay.id DESC
), look AS (
    SELECT DISTINCT ON (stood.id, stood.number) stood.id, stood.number, row.scale,
        (2 * row.overall_sixths + 3) / 6 AS halves, row.band_low, row.band_high
    FROM stood
    CROSS JOIN LATERAL (SELECT * FROM scoring_assessment WHERE horse_id = ANY(stood.ids)
        AND corrected_at >= stood.first_at AND corrected_at < stood.until_at OFFSET 0) row
    WHERE {herd_scope.FELT} AND row.place <> '' AND {herd_scope.CURRENT}
    ORDER BY stood.id, stood.number, greatest(row.corrected_at - stood.at,
        stood.at - row.corrected_at), row.corrected_at DESC, row.received_at DESC, row.id DESC
)
SELECT number, scale, halves, band_low, band_high, count(*) FROM look GROUP BY 1, 2, 3, 4, 5
UNION ALL SELECT number, NULL, NULL, NULL, NULL, count(*) FROM stood GROUP BY 1"""  # noqa: S608


@dataclass(frozen=True, slots=True)
class Tally:
    """One day's horses: by scale how many stand how many half points outside, and how many more.

    ``days`` are the days meant, with how many yards each is of; ``open_until`` is the last day on
    which a score may still count, None once it is over.
    """

    season: str
    year: str
    days: Mapping[date, int]
    open_until: date | None
    steps: Mapping[str, Mapping[int, int]] = field(default_factory=dict)
    unknown: int = 0

    @property
    def known(self) -> int:
        """How many horses have a score near the day."""
        return sum(sum(each.values()) for each in self.steps.values())


def tallies(found: Scope, *, now: datetime) -> tuple[Tally, ...]:
    """Return both ends of both years, in one query; those without a day in any yard are left out.

    A yard without seasons is in none of them.
    """
    yards = [found.chosen] if found.chosen is not None else list(found.yards)
    ends = {each.id: _ends(each, now) for each in yards}
    keys = [(season, year) for season in herd_season.ENDS for year in herd_season.YEARS]
    rows = found.rows(_ENDS, **_asked(yards, ends, keys))
    told = []
    for number, key in enumerate(keys):
        meant = [
            (each.on, yard.time_zone)
            for yard in yards
            for each in ends[yard.id]
            if (each.season, each.year) == key
        ]
        if meant:
            counted = [row[1:] for row in rows if row[0] == number]
            told.append(_tally(key, counted, meant, now))
    return tuple(told)


def _ends(yard: Yard, now: datetime) -> tuple[End, ...]:
    spring = seasons.spring_of(yard.spring_first, yard.spring_last)
    return herd_season.ends(daytime.local_date(now, yard.time_zone), yard.hemisphere, spring)


def _asked(
    yards: list[Yard], ends: Mapping[int, tuple[End, ...]], keys: list[tuple[str, str]]
) -> dict[str, list[Any]]:
    asked: dict[str, list[Any]] = {
        f"end_{name}": [] for name in ("yards", "numbers", "ats", "firsts", "untils")
    }
    for yard in yards:
        for each in ends[yard.id]:
            window = herd_season.window(each.on, yard.time_zone)
            asked["end_yards"].append(yard.id)
            asked["end_numbers"].append(keys.index((each.season, each.year)))
            asked["end_ats"].append(window.at)
            asked["end_firsts"].append(window.first)
            asked["end_untils"].append(window.until)
    return asked


def _tally(
    key: tuple[str, str],
    rows: list[tuple[Any, ...]],
    meant: list[tuple[date, str]],
    now: datetime,
) -> Tally:
    """Return one day's horses; ``meant`` is the day of each yard, with its clock."""
    days = collections.Counter(on for on, _ in meant)
    still = [on for on, zone in meant if now < herd_season.window(on, zone).until]
    steps: dict[str, dict[int, int]] = {}
    stood = sum(many for scale, *_, many in rows if scale is None)
    for scale, halves, low, high, many in rows:
        if scale is None:
            continue
        held, far = steps.setdefault(scale, {}), herd_step.step(halves, low, high)
        held[far] = held.get(far, 0) + many
    last = max(still) + herd_season.NEAR if still else None
    known = sum(sum(each.values()) for each in steps.values())
    return Tally(*key, dict(sorted(days.items())), last, steps, stood - known)
