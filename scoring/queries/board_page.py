"""Which horses a page of the board holds, and how many there are of each group and yard.

One statement over every horse in scope, however many: the group is worked out where the rows are
(``scoring.rules.board`` says it in Python), and one page of keys is cut by group, how calm the
horse is in it, the days that a look is late, name and id.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import connection

from scoring.rules import baseline, board, board_search, board_wanted, risk
from yards import isolation
from yards.access import doors
from yards.models import Yard
from yards.rules import daytime
from yards.rules.roles import Viewer

# The rank of a horse's gravest unresolved alert is its group's place in ``board.GROUPS``.
_PLACED = """
WITH zoned AS (
    SELECT * FROM unnest(%(yards)s::bigint[], %(today)s::timestamptz[],
        %(tomorrow)s::timestamptz[], %(dates)s::date[], %(zones)s::text[])
        AS zoned (yard_id, today_at, tomorrow_at, today, zone)
), alarmed AS (
    SELECT horse_id, min(CASE
            WHEN severity = 'urgent' OR escalated_at IS NOT NULL THEN 0
            WHEN severity = 'act' AND state = 'open' THEN 1
            -- What was taken on and should be done by now is to be decided anew.
            WHEN state = 'acknowledged' AND next_step_by < %(now)s THEN 1
            ELSE 3 END) AS rank,
        -- See ``board.calm``.
        min(CASE WHEN rule = ANY(%(lateness)s) THEN 2 WHEN state = 'open' THEN 0 ELSE 1 END)
            AS calm,
        max(greatest(opened_at, seen_at, escalated_at, acknowledged_at)) AS touched_at
    FROM scoring_alert WHERE state <> 'resolved' GROUP BY horse_id
), placed AS MATERIALIZED (
    SELECT standing.horse_id, standing.yard_id, horse.name_key, horse.ref,
        CASE WHEN alarmed.rank <= 1 THEN alarmed.rank
            WHEN least(standing.score_due_at, standing.weight_due_at) < zoned.tomorrow_at THEN 2
            ELSE coalesce(alarmed.rank, 4) END AS work,
        CASE WHEN alarmed.rank > 1 THEN alarmed.calm WHEN alarmed.rank IS NULL
                AND least(standing.score_due_at, standing.weight_due_at) < zoned.tomorrow_at
            THEN 2 ELSE 0 END AS calm,
        -- What is late is negative, so that one direction orders all: see ``board.late``.
        CASE WHEN coalesce(alarmed.rank, 4) > 1
                AND least(standing.score_due_at, standing.weight_due_at) < zoned.tomorrow_at
            THEN (least(standing.score_due_at, standing.weight_due_at)
                AT TIME ZONE zoned.zone)::date - zoned.today
            ELSE 0 END AS behind,
        greatest(standing.updated_at, alarmed.touched_at) AS touched_at
    FROM scoring_standing standing
    JOIN zoned ON zoned.yard_id = standing.yard_id
    JOIN yards_horse horse ON horse.id = standing.horse_id
    LEFT JOIN alarmed ON alarmed.horse_id = standing.horse_id
    WHERE horse.status = 'present'{bounds}
), cut AS (
    SELECT * FROM placed WHERE true{cut}
    ORDER BY work {way}, calm {way}, behind {way}, name_key {way}, ref {way} LIMIT %(most)s
)
SELECT yard_id, work, calm, count(*), count(*) FILTER (WHERE touched_at > %(since)s),
        NULL, NULL, NULL
    FROM placed GROUP BY yard_id, work, calm
UNION ALL
SELECT yard_id, work, calm, NULL, NULL, horse_id, ref,
        row_number() OVER (ORDER BY work, calm, behind, name_key, ref)
    FROM cut
"""
_DUE_AT = "least(standing.score_due_at, standing.weight_due_at)"
# More than 120 days after the last reading nothing is told of a rate.
_TOLD = "standing.rate_low IS NOT NULL AND (standing.score_filter->>'at')::float8 >= %(oldest)s"
_TRENDS: Mapping[str, str] = {
    board.LEVEL: f"({_TOLD} AND 0 BETWEEN standing.rate_low AND standing.rate_high)",
    board.RISING: f"({_TOLD} AND standing.rate_low > 0)",
    board.FALLING: f"({_TOLD} AND standing.rate_high < 0)",
    board.NO_RATE: f"({_TOLD}) IS NOT TRUE",
}
_DUES: Mapping[str, str] = {
    board_wanted.DUE: f"{_DUE_AT} < zoned.tomorrow_at",
    board_wanted.OVERDUE: f"{_DUE_AT} < zoned.today_at",
}
_BY = """EXISTS (SELECT 1 FROM scoring_assessment last
    JOIN scoring_assessor hand ON hand.id = last.assessor_id
    WHERE last.id = standing.last_assessment_id AND hand.ref = %(assessor)s)"""


# A place in the order: the group, how calm and how late in it, the name and the id.
_At = tuple[int, int, int, str, UUID]
_AT = ("at_work", "at_calm", "at_behind", "at_name", "at_ref")


@dataclass(frozen=True, slots=True)
class Key:
    """A horse on the page, by both its keys, its group, and how calm it is in it."""

    horse: int
    ref: UUID
    group: str
    calm: int


@dataclass(frozen=True, slots=True)
class Cut:
    """One page, and what it was cut from.

    ``counts`` are of what was wanted in every yard and group, by the yard's key and the group;
    ``calms`` the same, apart by how calm the horses are as well. ``touched`` is how many of the
    chosen yard's have changed since the list was begun.
    ``restarted``: the horse that the page was to begin at is not to be seen here any more.
    """

    keys: tuple[Key, ...]
    has_next: bool
    has_previous: bool
    counts: Mapping[tuple[int, str], int]
    calms: Mapping[tuple[int, str, int], int]
    touched: int
    restarted: bool


def cut(
    viewer: Viewer,
    yards: Sequence[Yard],
    wanted: board_wanted.Wanted,
    *,
    chosen: Yard | None,
    at: board_wanted.Position | None,
    now: datetime,
    size: int,
) -> Cut:
    """Return one page of the board in one query, or two where it begins at a horse."""
    isolation.required(viewer)
    begins = _key_of(viewer, at)
    backwards = at is not None and at.is_before and begins is not None
    parameters: dict[str, Any] = {
        "most": size + 1,
        "since": at and at.since,
        "now": now,
        "lateness": list(risk.LATENESS),
        **days(yards, now),
    }
    statement = _PLACED.format(
        bounds=_bounds(viewer, wanted, now, parameters),
        cut=_beyond(wanted, chosen, at, begins, parameters),
        way="DESC" if backwards else "ASC",
    )
    with connection.cursor() as cursor:
        cursor.execute(statement, parameters)
        rows = cursor.fetchall()
    found = sorted((row for row in rows if row[7]), key=lambda row: row[7])
    keys = [Key(row[5], row[6], board.GROUPS[row[1]], row[2]) for row in found]
    more = len(keys) > size
    kept = keys[-size:] if backwards else keys[:size]
    counted = [row for row in rows if not row[7]]
    counts: dict[tuple[int, str], int] = {}
    for yard, work, _, count, *_ in counted:
        counts[yard, board.GROUPS[work]] = counts.get((yard, board.GROUPS[work]), 0) + count
    return Cut(
        keys=tuple(kept),
        has_next=True if backwards else more,
        has_previous=more if backwards else begins is not None,
        counts=counts,
        calms={(row[0], board.GROUPS[row[1]], row[2]): row[3] for row in counted},
        touched=sum(row[4] for row in counted if chosen is None or row[0] == chosen.id),
        restarted=at is not None and begins is None,
    )


def _key_of(viewer: Viewer, at: board_wanted.Position | None) -> _At | None:
    """Return what a page begins beyond: the horse's name as it is now, its group as kept.

    None at the top, and for a horse that the viewer may not know of, or of which there is none.
    """
    if at is None:
        return None
    here = doors.horses_in_scope(viewer).filter(ref=at.horse)
    name = here.values_list("name_key", flat=True).first()
    if name is None:
        return None
    return (board.GROUPS.index(at.group), at.calm, -at.late, name, at.horse)


def days(yards: Sequence[Yard], now: datetime) -> dict[str, Any]:
    """Return each yard's day, from its first instant to the next day's."""
    ends = {zone: board.bounds(now, zone) for zone in {yard.time_zone for yard in yards}}
    return {
        "yards": [yard.id for yard in yards],
        "today": [ends[yard.time_zone][0] for yard in yards],
        "tomorrow": [ends[yard.time_zone][1] for yard in yards],
        "dates": [daytime.local_date(now, yard.time_zone) for yard in yards],
        "zones": [yard.time_zone for yard in yards],
    }


def _bounds(
    viewer: Viewer, wanted: board_wanted.Wanted, now: datetime, parameters: dict[str, Any]
) -> str:
    """Return what horses are narrowed to in every yard, and put in what it asks with."""
    held = []
    if viewer.yards is not None:
        held.append("(standing.yard_id = ANY(%(own)s) OR standing.horse_id = ANY(%(named)s))")
        parameters |= {"own": list(viewer.yards), "named": list(viewer.horses)}
    if wanted.use:
        held.append("horse.use = %(use)s")
        parameters["use"] = wanted.use
    if wanted.place:
        held.append("standing.place = %(place)s")
        parameters["place"] = "" if wanted.place == board_wanted.NOT_PLACED else wanted.place
    if wanted.trend:
        held.append(_TRENDS[wanted.trend])
        oldest = now - timedelta(days=baseline.LONGEST_GAP_DAYS)
        parameters["oldest"] = oldest.timestamp()
    if wanted.due:
        held.append(_DUES[wanted.due])
    if wanted.assessor is not None:
        held.append(_BY)
        parameters["assessor"] = wanted.assessor
    held += _searched(wanted.search, parameters)
    return "".join(f" AND {each}" for each in held)


def _searched(text: str, parameters: dict[str, Any]) -> list[str]:
    """Return the condition of a search: every word in the name, or the number in a number."""
    search = board_search.read(text)
    if search is None:
        return []
    words = []
    for place, word in enumerate(search.words):
        parameters[f"word{place}"] = word
        words.append(f"strpos(split_part(horse.found_by, E'\\n', 1), %(word{place})s) > 0")
    told = " AND ".join(words)
    if not search.number:
        return [told]
    parameters["number"] = search.number
    numbers = " OR ".join(
        f"strpos(split_part(horse.found_by, E'\\n', {part}), %(number)s) > 0" for part in (2, 3)
    )
    return [f"(({told}) OR {numbers})"]


def _beyond(
    wanted: board_wanted.Wanted,
    chosen: Yard | None,
    at: board_wanted.Position | None,
    begins: _At | None,
    parameters: dict[str, Any],
) -> str:
    """Return what the page is cut by: the yard, the group, and the horse it begins beyond."""
    held = []
    if chosen is not None:
        held.append("yard_id = %(chosen)s")
        parameters["chosen"] = chosen.id
    if wanted.group:
        held.append("work = %(work)s")
        parameters["work"] = board.GROUPS.index(wanted.group)
    if at is not None and begins is not None:
        parameters |= dict(zip(_AT, begins, strict=True))
        sign = "<" if at.is_before else ">"
        begun = ", ".join(f"%({name})s" for name in _AT)
        held.append(f"(work, calm, behind, name_key, ref) {sign} ({begun})")
    elif at is not None:
        # The horse is gone from here: its group is shown from its beginning, and that is said.
        held.append("work >= %(at_work)s")
        parameters["at_work"] = board.GROUPS.index(at.group)
    return "".join(f" AND {each}" for each in held)
