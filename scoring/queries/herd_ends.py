"""The herd at the end of winter and at the end of autumn, this year and the year before.

Who stood in a yard at the end of that day counts, by the felt score nearest to it within four
weeks on either side; of two as near the newer. By scale, in half points outside its own band.
Yards whose springs are on other days are told apart: what is winter's end for one is not for all.
"""

import collections
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from scoring.queries import herd_scope
from scoring.queries.herd_scope import Scope
from scoring.rules import herd_season, herd_step
from scoring.rules.herd_season import End
from yards.models import Yard
from yards.queries.yards import YardCard, card_of
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

    ``yards`` are those of one spring; ``days`` are the days meant, with how many yards each is of;
    ``open_until`` is the last day on which a score may still count, None once it is over.
    """

    season: str
    year: str
    days: Mapping[date, int]
    open_until: date | None
    steps: Mapping[str, Mapping[int, int]] = field(default_factory=dict)
    unknown: int = 0
    yards: tuple[YardCard, ...] = ()

    @property
    def known(self) -> int:
        """How many horses have a score near the day."""
        return sum(sum(each.values()) for each in self.steps.values())


def tallies(found: Scope, *, now: datetime) -> tuple[Tally, ...]:
    """Return both ends of both years for each spring that yards have, in one query.

    A yard without seasons is in none of them.
    """
    meant = _meant(found.places, now)
    rows = found.rows(_ENDS, **_asked(meant))
    return tuple(
        _tally(each, [row[1:] for row in rows if row[0] == number], now)
        for number, each in enumerate(meant)
    )


@dataclass(frozen=True, slots=True)
class _Meant:
    """One end of one year for the yards of one spring, with the day of each."""

    season: str
    year: str
    days: tuple[tuple[Yard, date], ...]


def _meant(yards: Iterable[Yard], now: datetime) -> list[_Meant]:
    """Return the ends to count, spring by spring in the order of yards."""
    alike: dict[seasons.Spring, list[Yard]] = {}
    for yard in yards:
        held = spring_of(yard)
        if held is not None:
            alike.setdefault(held, []).append(yard)
    return [
        _Meant(season, year, _days(those, season, year, now))
        for those in alike.values()
        for season in herd_season.ENDS
        for year in herd_season.YEARS
    ]


def _days(
    yards: Iterable[Yard], season: str, year: str, now: datetime
) -> tuple[tuple[Yard, date], ...]:
    return tuple(
        (yard, each.on)
        for yard in yards
        for each in _ends(yard, now)
        if (each.season, each.year) == (season, year)
    )


def spring_of(yard: Yard) -> seasons.Spring | None:
    """Return the days of a yard's spring, its own or its hemisphere's; None where it has none."""
    return seasons.spring_held(
        yard.hemisphere, seasons.spring_of(yard.spring_first, yard.spring_last)
    )


def _ends(yard: Yard, now: datetime) -> tuple[End, ...]:
    today = daytime.local_date(now, yard.time_zone)
    return herd_season.ends(today, yard.hemisphere, spring_of(yard))


def _asked(meant: Iterable[_Meant]) -> dict[str, list[Any]]:
    asked: dict[str, list[Any]] = {
        f"end_{name}": [] for name in ("yards", "numbers", "ats", "firsts", "untils")
    }
    for number, each in enumerate(meant):
        for yard, on in each.days:
            window = herd_season.window(on, yard.time_zone)
            asked["end_yards"].append(yard.id)
            asked["end_numbers"].append(number)
            asked["end_ats"].append(window.at)
            asked["end_firsts"].append(window.first)
            asked["end_untils"].append(window.until)
    return asked


def _tally(meant: _Meant, rows: list[tuple[Any, ...]], now: datetime) -> Tally:
    """Return one day's horses."""
    days = collections.Counter(on for _, on in meant.days)
    still = [on for yard, on in meant.days if now < herd_season.window(on, yard.time_zone).until]
    steps: dict[str, dict[int, int]] = {}
    stood = sum(many for scale, *_, many in rows if scale is None)
    for scale, halves, low, high, many in rows:
        if scale is None:
            continue
        held, far = steps.setdefault(scale, {}), herd_step.step(halves, low, high)
        held[far] = held.get(far, 0) + many
    last = max(still) + herd_season.NEAR if still else None
    known = sum(sum(each.values()) for each in steps.values())
    yards = tuple(card_of(yard) for yard, _ in meant.days)
    return Tally(
        meant.season, meant.year, dict(sorted(days.items())), last, steps, stood - known, yards
    )
