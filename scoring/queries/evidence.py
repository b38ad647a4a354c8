"""What the risk rules are told of one animal, in a fixed number of queries.

``yard_evidence`` tells them of a whole yard at once.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from django.db import connection
from django.db.models import Max

from scoring.models import Alert, Concern, Standing, Weighing
from scoring.queries import horse_facts, targets
from scoring.queries import kin as kinship
from scoring.rules import ladder, risk, seen
from yards import isolation
from yards.models import Horse, HorseEvent, Yard
from yards.rules.roles import Viewer

# Two months back from a weighing that is itself two months old.
WEIGHTS_FOR = timedelta(days=125)
# Readings that rules compare with the newest: two in a row, or those of some days.
RECENT = 8


def family(horse: int) -> list[int]:
    """Return a horse's key and those of unknown animals that turned out to be it."""
    return [horse, *Horse.objects.filter(merged_into_id=horse).values_list("id", flat=True)]


@dataclass(frozen=True, slots=True)
class Look:
    """One assessment's key, and what it says as the rules see it."""

    id: int
    score: seen.Score


@dataclass(frozen=True, slots=True)
class Newest:
    """One horse's newest readings, none superseded, those of its ``family`` among them.

    any        the newest of any manner
    speaks     the newest of any manner that scores some part
    palpated   the newest felt one with an overall
    recent     the newest few of those, newest first
    crest      the newest felt one with a cresty neck score
    weighing   the key of the newest weighing, however old, and ``weighed_at`` its time
    weights    the recent weighings, oldest first
    came       when it came, and when it moved last
    """

    any: Look | None
    speaks: Look | None
    palpated: Look | None
    crest: Look | None
    weighing: int | None
    weighed_at: datetime | None
    weights: tuple[seen.Weight, ...]
    recent: tuple[seen.Score, ...]
    came: kinship.Came


_NEWEST_FIRST = ("-corrected_at", "-received_at", "-id")
SCORED = (
    *("corrected_at", "received_at", "scale", "manner", "neck", "back", "hind", "whole"),
    *("fat_pocket", "crest", "danger_signs", "appetite", "assessor_id"),
)
WEIGHED = ("corrected_at", "received_at", "weight_kg", "method")
# Asked after every reading, and in SQL: the mapper takes longer to write it than the database to
# answer it. One row for each question, the same row for most of them, and the recent ones.
ORDER = "corrected_at DESC, received_at DESC, id DESC"
FELT = "manner = %(felt)s AND overall_sixths IS NOT NULL"
_ROWS = f"""(SELECT id FROM scoring_assessment row WHERE horse_id = ANY(%(kin)s) AND NOT EXISTS
    (SELECT FROM scoring_assessment later WHERE later.supersedes_id = row.id)
    AND {{question}} ORDER BY {ORDER} LIMIT {{most}})"""  # noqa: S608 - constants only
_ONES = (
    "true",
    "num_nonnulls(neck, back, hind, whole) > 0",
    "manner = %(felt)s AND crest IS NOT NULL",
)
_LOOKS = f"""SELECT id, {", ".join(SCORED)} FROM scoring_assessment
    WHERE id = ANY(ARRAY[{", ".join(_ROWS.format(question=each, most=1) for each in _ONES)}]
        || ARRAY{_ROWS.format(question=FELT, most=RECENT)})
    ORDER BY {ORDER}"""  # noqa: S608 - constants only


def score_of(values: Sequence[Any]) -> seen.Score:
    """Return a score from the values of ``SCORED``."""
    at, received, scale, manner, neck, back, hind, whole, pocket, crest, signs, *rest = values
    return seen.Score(
        at, received, scale, manner, neck, back, hind, whole, pocket, crest, tuple(signs), *rest
    )


def newest_of(horse: int, now: datetime) -> Newest:
    """Return what is newest of one horse, in three queries; weights count back from ``now``."""
    found = kinship.kin_of([horse], now)
    kin = list(found.members)
    looks = _looks(kin)
    felt = [each for each in looks if each.score.is_palpated]
    whole = [each for each in felt if each.score.sixths is not None]
    weighed = Weighing.objects.filter(horse_id__in=kin, superseded_by__isnull=True)
    weighed = weighed.order_by(*_NEWEST_FIRST)
    recent = weighed.filter(corrected_at__gt=now - WEIGHTS_FOR)
    # Nothing for months: then the last one counts for when the next falls due.
    rows = list(recent.values_list("id", *WEIGHED)) or weighed.values_list("id", *WEIGHED)[:1]
    weights = [(row[0], seen.Weight(*row[1:])) for row in rows]
    return Newest(
        any=next(iter(looks), None),
        speaks=next((each for each in looks if each.score.says_something), None),
        palpated=next(iter(whole), None),
        recent=tuple(each.score for each in whole[:RECENT]),
        crest=next((each for each in felt if each.score.crest is not None), None),
        weighing=weights[0][0] if weights else None,
        weighed_at=weights[0][1].at if weights else None,
        weights=tuple(each for _, each in reversed(weights) if each.at > now - WEIGHTS_FOR),
        came=found.came[horse],
    )


def _looks(kin: Sequence[int]) -> list[Look]:
    """Return the newest assessment for each question that ``Newest`` answers, newest first."""
    with connection.cursor() as cursor:
        cursor.execute(_LOOKS, {"kin": list(kin), "felt": seen.PALPATED})
        return [Look(row[0], score_of(row[1:])) for row in cursor.fetchall()]


def looked_at(horse: int, newest: Newest) -> datetime | None:
    """Return when somebody last looked at a horse: scored it, saw a concern, or visited."""
    kin = family(horse)
    visits = HorseEvent.objects.filter(horse_id__in=kin, kind__in=ladder.VISITS)
    times = (
        newest.any.score.at if newest.any is not None else None,
        Concern.objects.filter(horse_id__in=kin).aggregate(last=Max("corrected_at"))["last"],
        visits.aggregate(last=Max("at"))["last"],
    )
    return max((at for at in times if at is not None), default=None)


def facts_of_horse(
    viewer: Viewer,
    yard: Yard,
    standing: Standing,
    newest: Newest,
    *,
    now: datetime,
    orders: targets.Orders | None = None,
) -> risk.Facts:
    """Return the facts of one horse after a reading; what a person resolved is not among them.

    ``orders`` are the vet's in force now, where the caller has them.
    """
    isolation.required(viewer)
    if orders is None:
        [orders] = targets.orders_at(standing.horse_id, now)
    palpated = newest.palpated.score if newest.palpated is not None else None
    return replace(
        horse_facts.facts_of(yard, standing, orders, palpated, now=now),
        newest=newest.any.score if newest.any is not None else None,
        recent=newest.recent,
        crest=newest.crest.score if newest.crest is not None else None,
        weights=newest.weights,
        arrived_at=newest.came.arrived_at,
        moved_at=newest.came.moved_at,
    )


def resolved_of(horses: Sequence[int]) -> Mapping[int, dict[str, datetime]]:
    """Return by horse key when a person last resolved each rule's alert."""
    found: dict[int, dict[str, datetime]] = defaultdict(dict)
    rows: Any = Alert.objects.filter(horse_id__in=horses, resolution="person").order_by()
    for horse, rule, last in rows.values_list("horse_id", "rule").annotate(Max("resolved_at")):
        found[horse][rule] = last
    return found
