"""The herd month by month: who stood where, and what its last felt score of the month came to.

One statement over every horse in scope. A place is that of the reading itself, by the nearest half
and by the band as it stood on that day, which each reading keeps; nothing is averaged.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from uuid import UUID

from scoring.queries import herd_scope
from scoring.queries.herd_scope import Scope
from scoring.rules import herd_place
from yards.models import Horse

# One row for each horse and month that it stood in: where, and a letter of ``herd_place``.
CELLS = f"""WITH {herd_scope.ANIMAL}, {herd_scope.MONTH}, starts AS (
    SELECT zone, array_agg(from_at ORDER BY month) AS begins, max(until_at) AS until_at
    FROM month GROUP BY zone
), dated AS MATERIALIZED (
    SELECT animal.id, animal.ids, animal.zone, starts.begins, starts.until_at
    FROM animal JOIN starts ON starts.zone = animal.zone
), stood AS (
    -- The months that a stay reaches into; of several stays in a month the last one counts.
    SELECT DISTINCT ON (dated.id, month) dated.id, month, stay.yard_id
    FROM dated
    CROSS JOIN LATERAL (SELECT * FROM yards_stay WHERE horse_id = ANY(dated.ids)
        AND yard_id = ANY(%(yards)s) AND from_at <= %(now)s AND from_at < dated.until_at
        AND (until_at IS NULL OR until_at > dated.begins[1]) OFFSET 0) stay
    CROSS JOIN LATERAL generate_series(
        greatest(width_bucket(stay.from_at, dated.begins), 1), CASE
            WHEN stay.until_at IS NULL OR stay.until_at >= dated.until_at THEN %(last_month)s
            ELSE width_bucket(stay.until_at - interval '1 microsecond', dated.begins) END) month
    ORDER BY dated.id, month, stay.from_at DESC, stay.id DESC
), told AS (
    -- A felt whole score before a felt part, a part before a glance; of a kind the newest.
    SELECT DISTINCT ON (dated.id, month) dated.id, width_bucket(row.corrected_at, dated.begins)
            AS month, CASE WHEN row.manner <> %(felt)s THEN 'v' WHEN row.overall_sixths IS NULL
            THEN 'u' ELSE CASE row.place WHEN 'below' THEN 'b' WHEN 'within' THEN 'w'
            WHEN 'above' THEN 'a' ELSE 'n' END END AS letter
    FROM dated
    CROSS JOIN LATERAL (SELECT id, corrected_at, received_at, place, manner, overall_sixths
        FROM scoring_assessment WHERE horse_id = ANY(dated.ids)
        AND corrected_at >= dated.begins[1] AND corrected_at < dated.until_at OFFSET 0) row
    WHERE {herd_scope.CURRENT}
    ORDER BY dated.id, month, {herd_scope.FELT} DESC, row.manner = %(felt)s DESC,
        row.corrected_at DESC, row.received_at DESC, row.id DESC
), cell AS MATERIALIZED (
    SELECT id AS animal, month, max(yard_id) AS yard_id, coalesce(max(letter), 'n') AS letter
    FROM (SELECT id, month, yard_id, NULL AS letter FROM stood
        UNION ALL SELECT id, month, NULL, letter FROM told) either
    GROUP BY id, month
    HAVING max(yard_id) IS NOT NULL
        AND (%(chosen)s::bigint IS NULL OR max(yard_id) = %(chosen)s)
)"""  # noqa: S608 - constants only
_COUNTED = f"""{CELLS}
SELECT month, letter, count(*) FROM cell GROUP BY month, letter"""  # noqa: S608 - constants only
# A word of letters for each horse, and the order of worry told from it, as ``herd_place`` does.
_RANKED = f"""{CELLS}, word AS (
    SELECT animal, array_agg(month ORDER BY month) AS months,
        string_agg(letter, '' ORDER BY month) AS letters,
        coalesce(string_agg(letter, '' ORDER BY month) FILTER (WHERE letter IN ('b', 'w', 'a')), '')
            AS felt,
        coalesce(max(month) FILTER (WHERE letter IN ('b', 'w', 'a')), 0) AS felt_in,
        max(month) AS seen_in,
        (array_agg(yard_id ORDER BY month DESC))[1] AS yard_id
    FROM cell GROUP BY animal
), graded AS (
    SELECT word.*, horse.ref, horse.name_key, yard.name_key AS yard_key,
        CASE WHEN horse.status NOT IN ('present', 'away') OR word.seen_in < %(last_month)s THEN 4
            WHEN right(felt, 1) = 'b' THEN 0 WHEN right(felt, 1) = 'a' THEN 1
            WHEN felt = '' OR %(last_month)s - felt_in >= %(stale)s THEN 2 ELSE 3 END AS rank
    FROM word JOIN yards_horse horse ON horse.id = word.animal
    JOIN yards_yard yard ON yard.id = word.yard_id
), ranked AS MATERIALIZED (
    SELECT graded.*, CASE WHEN rank < 2 THEN -length(substring(felt from '(b+|a+)$'))
        WHEN rank = 2 THEN felt_in - %(last_month)s ELSE 0 END AS worst FROM graded
), page AS (
    SELECT ranked.animal, months, letters, yard_id, rank, -worst AS longest,
        row_number() OVER (ORDER BY {{order}}) AS nth
    FROM ranked WHERE {{beyond}} ORDER BY {{order}} LIMIT %(most)s
)
SELECT animal, months, letters, yard_id, rank, longest, nth FROM page
UNION ALL SELECT NULL, NULL, NULL, NULL, rank, NULL, count(*) FROM ranked GROUP BY rank
UNION ALL SELECT NULL, NULL, NULL, NULL, NULL, NULL, count(*) FROM ranked WHERE ref = %(after)s"""  # noqa: S608 - constants only
_ORDERS = {
    "worry": "rank, worst, name_key, ref",
    "name": "name_key, ref",
    "yard": "yard_key, yard_id, name_key, ref",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One horse's months: a letter for each; its group in the order of worry, and how long."""

    horse: UUID
    name: str
    species: str
    use: str
    is_unknown: bool
    yard_name: str
    letters: str
    group: str
    months: int


@dataclass(frozen=True, slots=True)
class Strip:
    """One page of horses, how many there are of each group, and whether more come."""

    rows: tuple[Row, ...]
    counts: Mapping[str, int]
    has_next: bool
    restarted: bool

    @property
    def total(self) -> int:
        """How many horses there are on all pages."""
        return sum(self.counts.values())


def counts(found: Scope) -> tuple[Mapping[str, int], ...]:
    """Return for each month how many horses there were of each letter, in one query."""
    held: list[dict[str, int]] = [dict.fromkeys(herd_place.LETTERS, 0) for _ in found.months]
    for month, letter, many in found.rows(_COUNTED):
        held[month - 1][letter] = many
    return tuple(held)


def strip(found: Scope, *, size: int | None) -> Strip:
    """Return a page of horses with their months, in two queries; all of them without a size."""
    order, after = _ORDERS[found.wanted.sort], found.wanted.after
    beyond = "true"
    if after is not None:
        # A horse that is no longer among these is no place to go on from: then from the top.
        place = "FROM ranked WHERE ref = %(after)s"
        beyond = f"(NOT EXISTS (SELECT {place}) OR ({order}) > (SELECT {order} {place}))"
    rows = found.rows(
        _RANKED.replace("{order}", order).replace("{beyond}", beyond),
        stale=herd_place.STALE,
        most=None if size is None else size + 1,
        after=after,
    )
    begins = any(row[6] for row in rows if row[4] is None)
    page = sorted((row for row in rows if row[0] is not None), key=lambda row: row[6])
    kept = page if size is None else page[:size]
    return Strip(
        rows=_shown(found, kept),
        counts={
            herd_place.GROUPS[row[4]]: row[6]
            for row in rows
            if row[0] is None and row[4] is not None
        },
        has_next=len(page) > len(kept),
        restarted=after is not None and not begins,
    )


def _shown(found: Scope, rows: list[tuple[object, ...]]) -> tuple[Row, ...]:
    horses = Horse.objects.in_bulk([row[0] for row in rows])
    yards, many = found.names, len(found.months)
    shown = []
    for animal, months, letters, yard, rank, longest, _ in rows:
        horse = horses[animal]
        codes = dict(zip(months, letters, strict=True))  # type: ignore[call-overload]
        shown.append(
            Row(
                horse=horse.ref,
                name=horse.name,
                species=horse.species,
                use=horse.use,
                is_unknown=horse.is_unknown,
                yard_name=yards[yard].name,  # type: ignore[index]
                letters=herd_place.word(codes, many),
                group=herd_place.GROUPS[rank],  # type: ignore[call-overload]
                months=longest,  # type: ignore[arg-type]
            )
        )
    return tuple(shown)
