"""Looks that fell due in each month and yard, and how they were met: ``herd_due`` over every horse.

One statement. Of several looks at a horse on one day the last counts, so that scoring together is
one look. A look that somebody made early has met its day, and the next is counted from it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from scoring.queries import herd_scope
from scoring.queries.herd_scope import Scope
from scoring.rules import herd_due, scale
from scoring.rules.herd_months import Month

# A crest that was felt so long before these months is not asked for.
_CREST_FOR = timedelta(days=366)
_MET = f"""WITH {herd_scope.ANIMAL}, longest AS MATERIALIZED (
    -- No look that is due in these months was asked for by a score that is older.
    SELECT %(begins)s - (greatest(%(ordinary)s, max(score_days)) + 1) * interval '1 day' AS since
    FROM scoring_vetorder
), dated AS MATERIALIZED (
    SELECT animal.*, (animal.created_at AT TIME ZONE time_zone)::date AS came, stay.*,
        EXISTS (SELECT FROM scoring_vetorder own WHERE own.horse_id = animal.id
            AND own.score_days IS NOT NULL) AS told,
        animal.created_at >= %(begins)s AND NOT EXISTS (SELECT FROM scoring_assessment row
            WHERE row.horse_id = ANY(animal.ids)
            AND row.corrected_at < date_trunc('day', animal.created_at, animal.time_zone)
            AND {herd_scope.FELT} AND {herd_scope.CURRENT}) AS is_new,
        (SELECT crest FROM scoring_assessment row WHERE row.horse_id = ANY(animal.ids)
            AND row.corrected_at < (SELECT since FROM longest) AND row.crest IS NOT NULL
            AND row.corrected_at >= (SELECT since FROM longest) - %(crest_for)s
            AND {herd_scope.FELT} AND {herd_scope.CURRENT}
            ORDER BY row.corrected_at DESC, row.received_at DESC, row.id DESC LIMIT 1) AS old_crest,
        least(CASE WHEN laminitis = ANY(%(laminitis)s) THEN %(by_laminitis)s END,
            CASE WHEN species = 'donkey' THEN %(by_donkey)s END) AS by_kind
    FROM animal CROSS JOIN LATERAL (
        SELECT array_agg(yard_id) AS yard_ids,
            array_agg((from_at AT TIME ZONE animal.time_zone)::date) AS stood_from,
            array_agg((until_at AT TIME ZONE animal.time_zone)::date) AS stood_until
        FROM yards_stay WHERE horse_id = animal.id) stay
), looked AS (
    SELECT DISTINCT ON (dated.id, local.day) dated.id, dated.is_new, dated.came, dated.old_crest,
        local.day, row.corrected_at, row.crest, least(dated.by_kind, CASE row.scale
            WHEN 'five' THEN (%(five)s::int[])[halves.of - %(five_from)s + 1]
            WHEN 'nine' THEN (%(nine)s::int[])[halves.of - %(nine_from)s + 1]
            ELSE (%(donkey)s::int[])[halves.of - %(donkey_from)s + 1] END,
            CASE WHEN least(row.neck, row.back, row.hind) <= %(region_at_most)s
            THEN %(by_region)s END) AS days, dated.told
    FROM dated
    CROSS JOIN LATERAL (SELECT * FROM scoring_assessment WHERE horse_id = ANY(dated.ids)
        AND corrected_at >= (SELECT since FROM longest) OFFSET 0) row
    CROSS JOIN LATERAL (SELECT (row.corrected_at AT TIME ZONE dated.time_zone)::date AS day) local
    CROSS JOIN LATERAL (SELECT (2 * row.overall_sixths + 3) / 6 AS of) halves
    WHERE {herd_scope.FELT} AND {herd_scope.CURRENT}
    ORDER BY dated.id, local.day, row.corrected_at DESC, row.received_at DESC, row.id DESC
), crested AS (
    SELECT looked.*, count(crest) OVER ordered AS crests, lead(day) OVER ordered AS done,
        lag(day) OVER ordered IS NULL AS is_first
    FROM looked WINDOW ordered AS (PARTITION BY id ORDER BY day)
), asked AS (
    SELECT id, done, is_first AND is_new AS is_first, day, came, day + coalesce(
        -- A vet's newest word that was in force then.
        CASE WHEN told THEN (SELECT own.score_days FROM scoring_vetorder own
            LEFT JOIN scoring_vetorderend ended ON ended.order_id = own.id
                AND ended.organisation_id = own.organisation_id
            WHERE own.horse_id = crested.id AND own.score_days IS NOT NULL
                AND own.given_at <= crested.corrected_at
                AND crested.corrected_at < least(own.until_at, ended.ended_at)
            ORDER BY own.id DESC LIMIT 1) END,
        least(days, CASE WHEN coalesce(max(crest) OVER (PARTITION BY id, crests), old_crest)
            >= %(crest_at_least)s THEN %(by_crest)s END)) AS due
    FROM crested
), due AS (
    SELECT id, due, done FROM asked
    -- The first look at a horse is due on the day it came.
    UNION ALL SELECT id, came, day FROM asked WHERE is_first
), held AS (
    -- By horse, what fell due beside its stays; one that nobody ever looked at has its first look.
    SELECT id, coalesce(max(dues), CASE WHEN bool_or(is_new) THEN ARRAY[max(came)] END) AS dues,
        coalesce(max(dones), ARRAY[NULL]::date[]) AS dones, max(yard_ids) AS yard_ids,
        max(stood_from) AS stood_from, max(stood_until) AS stood_until, max(today) AS today,
        max(status) AS status
    FROM (SELECT id, array_agg(due) AS dues, array_agg(done) AS dones, NULL::date AS came,
            NULL::boolean AS is_new, NULL::bigint[] AS yard_ids, NULL::date[] AS stood_from,
            NULL::date[] AS stood_until, NULL::date AS today, NULL AS status FROM due GROUP BY id
        UNION ALL SELECT id, NULL, NULL, came, is_new, yard_ids, stood_from, stood_until,
            today, status FROM dated) either
    GROUP BY id
), counted AS (
    SELECT held.yard_ids[nth] AS yard_id, one.due, CASE
        WHEN one.done IS NULL AND held.today > one.due + %(grace)s THEN 'not_done'
        WHEN one.done IS NULL THEN 'open'
        WHEN one.done <= one.due THEN 'by_due'
        WHEN one.done <= one.due + %(grace)s THEN 'in_a_week' ELSE 'later' END AS met
    FROM held
    CROSS JOIN LATERAL unnest(held.dues, held.dones) AS one (due, done)
    -- Whoever had left by the end of the day was not to be looked at any more.
    JOIN LATERAL generate_subscripts(held.yard_ids, 1) nth ON held.stood_from[nth] <= one.due
        AND (held.stood_until[nth] IS NULL OR held.stood_until[nth] > one.due)
    WHERE one.due <= held.today AND NOT (held.status = 'away' AND one.done IS NULL)
)
SELECT yard_id, width_bucket(due, %(firsts)s::date[]) AS month, met, count(*)
FROM counted WHERE due >= (%(firsts)s::date[])[1] AND yard_id = ANY(%(yards)s)
    AND (%(chosen)s::bigint IS NULL OR yard_id = %(chosen)s)
GROUP BY 1, 2, 3"""  # noqa: S608 - constants only


@dataclass(frozen=True, slots=True)
class Met:
    """How many looks were met in which way."""

    counts: Mapping[str, int]

    @property
    def due(self) -> int:
        """How many fell due and are no longer open."""
        return sum(many for met, many in self.counts.items() if met != herd_due.OPEN)


@dataclass(frozen=True, slots=True)
class Punctuality:
    """By month, and by yard over all the months: in the order of the yards' names."""

    months: tuple[tuple[Month, Met], ...]
    yards: tuple[tuple[str, Met], ...]
    whole: Met


def punctuality(found: Scope) -> Punctuality:
    """Return how the looks of the months were met, in one query."""
    held = herd_due.intervals()
    firsts = [each.first for each in found.months]
    begins = min(found.asked["month_begins"], default=found.asked["now"])
    rows = found.rows(
        _MET,
        **_by_result(held),
        region_at_most=held.region_at_most,
        by_region=held.by_region,
        crest_at_least=held.crest_at_least,
        by_crest=held.by_crest,
        laminitis=list(held.laminitis),
        by_laminitis=held.by_laminitis,
        by_donkey=held.by_donkey,
        grace=herd_due.GRACE.days,
        firsts=firsts,
        begins=begins,
        crest_for=_CREST_FOR,
        ordinary=max(each.days for each in held.by_result),
    )
    yards = found.names
    by_yard = {yard: _met([row for row in rows if row[0] == yard]) for yard in yards}
    return Punctuality(
        months=tuple(
            (month, _met([row for row in rows if row[1] == number]))
            for number, month in enumerate(found.months, 1)
        ),
        yards=tuple(
            (yards[yard].name, met) for yard, met in by_yard.items() if any(met.counts.values())
        ),
        whole=_met(rows),
    )


def _by_result(held: herd_due.Intervals) -> dict[str, Any]:
    """Return the days of each scale as a list, and the half points that it begins with."""
    asked: dict[str, Any] = {}
    for key in scale.SCALES:
        rows = [each for each in held.by_result if each.scale == key]
        asked |= {key: [each.days for each in rows], f"{key}_from": rows[0].halves}
    return asked


def _met(rows: list[tuple[Any, ...]]) -> Met:
    counts = dict.fromkeys(herd_due.MET, 0)
    for _, _, met, many in rows:
        counts[met] += many
    return Met(counts)
