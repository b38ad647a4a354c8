"""What the risk rules are told of one animal or of many at once, in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from django.db import connection
from django.db.models import Max, QuerySet

from scoring.models import Alert, Assessment, Concern, Standing, Weighing
from scoring.rules import ladder, risk, seen
from yards import isolation
from yards.models import Horse, HorseEvent, Yard
from yards.rules import seasons
from yards.rules.roles import Viewer

# Two months back from a weighing that is itself two months old.
WEIGHTS_FOR = timedelta(days=125)


def family(horse: int) -> list[int]:
    """Return a horse's key and those of unknown animals that turned out to be it."""
    return [horse, *Horse.objects.filter(merged_into_id=horse).values_list("id", flat=True)]


def families(horses: Sequence[int]) -> dict[int, int]:
    """Return the key of each horse, and of each animal merged into one, to that horse's key."""
    merged = Horse.objects.filter(merged_into_id__in=horses).values_list("id", "merged_into_id")
    return {**{horse: horse for horse in horses}, **{one: into for one, into in merged if into}}


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
    crest      the newest felt one with a cresty neck score
    weighing   the key of the newest weighing, however old, and ``weighed_at`` its time
    weights    the recent weighings, oldest first
    """

    any: Look | None
    speaks: Look | None
    palpated: Look | None
    crest: Look | None
    weighing: int | None
    weighed_at: datetime | None
    weights: tuple[seen.Weight, ...]


_NEWEST_FIRST = ("-corrected_at", "-received_at", "-id")
_SCORED = (
    *("corrected_at", "received_at", "scale", "manner", "neck", "back", "hind", "whole"),
    *("fat_pocket", "crest", "danger_signs"),
)
_WEIGHED = ("corrected_at", "received_at", "weight_kg", "method")
# Asked after every reading, and in SQL: the mapper takes longer to write it than the database to
# answer it. One row for each question, the same row for most of them.
_ORDER = "corrected_at DESC, received_at DESC, id DESC"
_ONE = f"""(SELECT id FROM scoring_assessment row WHERE horse_id = ANY(%(kin)s) AND NOT EXISTS
    (SELECT FROM scoring_assessment later WHERE later.supersedes_id = row.id)
    AND {{question}} ORDER BY {_ORDER} LIMIT 1)"""  # noqa: S608 - constants only
_QUESTIONS = (
    "true",
    "num_nonnulls(neck, back, hind, whole) > 0",
    "manner = %(felt)s AND overall_sixths IS NOT NULL",
    "manner = %(felt)s AND crest IS NOT NULL",
)
_LOOKS = f"""SELECT id, {", ".join(_SCORED)} FROM scoring_assessment
    WHERE id IN ({", ".join(_ONE.format(question=each) for each in _QUESTIONS)})
    ORDER BY {_ORDER}"""  # noqa: S608 - constants only


def _score(values: Sequence[Any]) -> seen.Score:
    """Return a score from the values of ``_SCORED``."""
    at, received, scale, manner, neck, back, hind, whole, pocket, crest, signs = values
    return seen.Score(
        at, received, scale, manner, neck, back, hind, whole, pocket, crest, tuple(signs)
    )


def newest_of(horse: int, now: datetime) -> Newest:
    """Return what is newest of one horse, in three queries; weights count back from ``now``."""
    kin = family(horse)
    looks = _looks(kin)
    felt = [each for each in looks if each.score.is_palpated]
    weighed = Weighing.objects.filter(horse_id__in=kin, superseded_by__isnull=True)
    weighed = weighed.order_by(*_NEWEST_FIRST)
    recent = weighed.filter(corrected_at__gt=now - WEIGHTS_FOR)
    # Nothing for months: then the last one counts for when the next falls due.
    rows = list(recent.values_list("id", *_WEIGHED)) or weighed.values_list("id", *_WEIGHED)[:1]
    weights = [(row[0], seen.Weight(*row[1:])) for row in rows]
    return Newest(
        any=next(iter(looks), None),
        speaks=next((each for each in looks if each.score.says_something), None),
        palpated=next((each for each in felt if each.score.sixths is not None), None),
        crest=next((each for each in felt if each.score.crest is not None), None),
        weighing=weights[0][0] if weights else None,
        weighed_at=weights[0][1].at if weights else None,
        weights=tuple(each for _, each in reversed(weights) if each.at > now - WEIGHTS_FOR),
    )


def _looks(kin: Sequence[int]) -> list[Look]:
    """Return the newest assessment for each question that ``Newest`` answers, newest first."""
    with connection.cursor() as cursor:
        cursor.execute(_LOOKS, {"kin": list(kin), "felt": seen.PALPATED})
        return [Look(row[0], _score(row[1:])) for row in cursor.fetchall()]


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
    viewer: Viewer, yard: Yard, standing: Standing, newest: Newest, *, now: datetime
) -> risk.Facts:
    """Return the facts of one horse after a reading; what a person resolved is not among them."""
    isolation.required(viewer)
    return replace(
        _facts(yard, standing, now),
        newest=newest.any.score if newest.any is not None else None,
        palpated=newest.palpated.score if newest.palpated is not None else None,
        crest=newest.crest.score if newest.crest is not None else None,
        weights=newest.weights,
    )


def _facts(yard: Yard, standing: Standing, now: datetime) -> risk.Facts:
    """Return what is known without the readings; the standing holds horse and due times."""
    return risk.Facts(
        now=now,
        species=standing.horse.species,
        zone=yard.time_zone,
        hemisphere=yard.hemisphere,
        spring=seasons.spring_of(yard.spring_first, yard.spring_last),
        laminitis=standing.horse.laminitis,
        endocrine=standing.horse.endocrine,
        score_due_at=standing.score_due_at,
        weight_due_at=standing.weight_due_at,
        check_due_at=standing.check_due_at,
    )


def facts_of_yard(
    viewer: Viewer, yard: Yard, standings: Sequence[Standing], *, now: datetime
) -> dict[int, risk.Facts]:
    """Return the facts of a yard's horses by horse key; their standings hold horse and due times.

    For a look at the calendar, not at a new reading: no danger signs are among the facts.
    """
    isolation.required(viewer)
    horses = [standing.horse_id for standing in standings]
    kin = families(horses)
    rows = Assessment.objects.filter(horse_id__in=kin, superseded_by__isnull=True)
    felt = rows.filter(manner=seen.PALPATED)
    newest = _newest(rows, kin)
    palpated = _newest(felt.filter(overall_sixths__isnull=False), kin)
    crest = _newest(felt.filter(crest__isnull=False), kin)
    weights, resolved = _weights(kin, now), resolved_of(horses)
    return {
        standing.horse_id: replace(
            _facts(yard, standing, now),
            newest=newest.get(standing.horse_id),
            palpated=palpated.get(standing.horse_id),
            crest=crest.get(standing.horse_id),
            weights=tuple(weights.get(standing.horse_id, ())),
            resolved=resolved.get(standing.horse_id, {}),
        )
        for standing in standings
    }


def _newest(rows: QuerySet[Assessment], kin: Mapping[int, int]) -> dict[int, seen.Score]:
    last = rows.order_by("horse_id", "-corrected_at", "-received_at", "-id").distinct("horse_id")
    found: dict[int, seen.Score] = {}
    for key, *values in last.values_list("horse_id", *_SCORED):
        score, horse = _score(values), kin[key]
        if horse not in found or found[horse].at < score.at:
            found[horse] = score
    return found


def _weights(kin: Mapping[int, int], now: datetime) -> Mapping[int, list[seen.Weight]]:
    found: dict[int, list[seen.Weight]] = defaultdict(list)
    rows = Weighing.objects.filter(
        horse_id__in=kin, corrected_at__gt=now - WEIGHTS_FOR, superseded_by__isnull=True
    )
    rows = rows.order_by("corrected_at", "received_at", "id")
    for key, *values in rows.values_list("horse_id", *_WEIGHED):
        found[kin[key]].append(seen.Weight(*values))
    return found


def resolved_of(horses: Sequence[int]) -> Mapping[int, dict[str, datetime]]:
    """Return by horse key when a person last resolved each rule's alert."""
    found: dict[int, dict[str, datetime]] = defaultdict(dict)
    rows: Any = Alert.objects.filter(horse_id__in=horses, resolution="person").order_by()
    for horse, rule, last in rows.values_list("horse_id", "rule").annotate(Max("resolved_at")):
        found[horse][rule] = last
    return found
