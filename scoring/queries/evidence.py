"""What the risk rules are told of many animals at once, in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Max, Q, QuerySet

from scoring.models import Alert, Assessment, Standing, Weighing
from scoring.rules import risk, seen
from yards import isolation
from yards.models import Horse, Yard
from yards.rules import seasons
from yards.rules.roles import Viewer

# Two months back from a weighing that is itself two months old.
WEIGHTS_FOR = timedelta(days=125)


def score_of(row: Assessment) -> seen.Score:
    """Return an assessment's row as the rules see it."""
    return seen.Score(
        at=row.corrected_at,
        received_at=row.received_at,
        scale=row.scale,
        manner=row.manner,
        neck=row.neck,
        back=row.back,
        hind=row.hind,
        whole=row.whole,
        fat_pocket=row.fat_pocket,
        crest=row.crest,
        danger_signs=tuple(row.danger_signs),
    )


def family(horse: int) -> list[int]:
    """Return a horse's key and those of unknown animals that turned out to be it."""
    return [horse, *Horse.objects.filter(merged_into_id=horse).values_list("id", flat=True)]


def families(horses: Sequence[int]) -> dict[int, int]:
    """Return the key of each horse, and of each animal merged into one, to that horse's key."""
    merged = Horse.objects.filter(merged_into_id__in=horses).values_list("id", "merged_into_id")
    return {**{horse: horse for horse in horses}, **{one: into for one, into in merged if into}}


@dataclass(frozen=True, slots=True)
class Said:
    """What intervals hang on: the newest score that says something, crest, and the last look."""

    score: seen.Score | None
    crest: int | None
    looked_at: datetime | None


def said_of(kin: Sequence[int]) -> Said:
    """Return what the newest readings of one horse, its ``family``, say."""
    rows = Assessment.objects.filter(horse_id__in=kin, superseded_by__isnull=True)
    rows = rows.order_by("-corrected_at", "-received_at", "-id")
    scored = ("neck", "back", "hind", "whole")
    speaks = Q()
    for part in scored:
        speaks |= Q(**{f"{part}__isnull": False})
    score, crest, last = (
        rows.filter(speaks).first(),
        rows.filter(manner=seen.PALPATED, crest__isnull=False).first(),
        rows.first(),
    )
    return Said(
        score_of(score) if score is not None else None,
        crest.crest if crest is not None else None,
        last.corrected_at if last is not None else None,
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
    weights, resolved = _weights(kin, now), _resolved(horses)
    return {
        standing.horse_id: risk.Facts(
            now=now,
            species=standing.horse.species,
            zone=yard.time_zone,
            hemisphere=yard.hemisphere,
            spring=seasons.spring_of(yard.spring_first, yard.spring_last),
            laminitis=standing.horse.laminitis,
            endocrine=standing.horse.endocrine,
            newest=newest.get(standing.horse_id),
            palpated=palpated.get(standing.horse_id),
            crest=crest.get(standing.horse_id),
            weights=tuple(weights.get(standing.horse_id, ())),
            score_due_at=standing.score_due_at,
            weight_due_at=standing.weight_due_at,
            check_due_at=standing.check_due_at,
            resolved=resolved.get(standing.horse_id, {}),
        )
        for standing in standings
    }


def _newest(rows: QuerySet[Assessment], kin: Mapping[int, int]) -> dict[int, seen.Score]:
    last = rows.order_by("horse_id", "-corrected_at", "-received_at", "-id").distinct("horse_id")
    found: dict[int, seen.Score] = {}
    for row in last:
        score, horse = score_of(row), kin[row.horse_id]
        if horse not in found or found[horse].at < score.at:
            found[horse] = score
    return found


def _weights(kin: Mapping[int, int], now: datetime) -> Mapping[int, list[seen.Weight]]:
    found: dict[int, list[seen.Weight]] = defaultdict(list)
    rows = Weighing.objects.filter(
        horse_id__in=kin, corrected_at__gt=now - WEIGHTS_FOR, superseded_by__isnull=True
    )
    for row in rows.order_by("corrected_at", "received_at", "id"):
        weight = seen.Weight(row.corrected_at, row.received_at, row.weight_kg, row.method)
        found[kin[row.horse_id]].append(weight)
    return found


def _resolved(horses: Sequence[int]) -> Mapping[int, dict[str, datetime]]:
    """Return when a person last resolved each rule's alert."""
    found: dict[int, dict[str, datetime]] = defaultdict(dict)
    rows: Any = Alert.objects.filter(horse_id__in=horses, resolution="person").order_by()
    for horse, rule, last in rows.values_list("horse_id", "rule").annotate(Max("resolved_at")):
        found[horse][rule] = last
    return found
