"""What the risk rules are told of a yard's horses, in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from django.db import connection
from django.db.models import QuerySet

from scoring.models import Assessment, Standing, Weighing
from scoring.queries import evidence, horse_facts, kin, targets
from scoring.rules import risk, seen
from yards import isolation
from yards.models import Yard
from yards.rules.roles import Viewer

# The newest few felt scores of each animal, by the index on them: never the whole history.
_RECENT = f"""SELECT animal, {", ".join(evidence.SCORED)}
    FROM unnest(%(animals)s::bigint[]) animal CROSS JOIN LATERAL (
        SELECT * FROM scoring_assessment row WHERE horse_id = animal AND NOT EXISTS
            (SELECT FROM scoring_assessment later WHERE later.supersedes_id = row.id)
        AND {evidence.FELT} ORDER BY {evidence.ORDER} LIMIT {evidence.RECENT}) newest
    ORDER BY {evidence.ORDER}"""  # noqa: S608 - constants only


def facts_of_yard(
    viewer: Viewer, yard: Yard, standings: Sequence[Standing], *, now: datetime
) -> dict[int, risk.Facts]:
    """Return the facts of a yard's horses by horse key; their standings hold horse and due times.

    For a look at the calendar, not at a new reading: no danger signs are among the facts.
    """
    isolation.required(viewer)
    horses = [standing.horse_id for standing in standings]
    found = kin.kin_of(horses, now)
    rows = Assessment.objects.filter(horse_id__in=found.members, superseded_by__isnull=True)
    newest = _newest(rows, found.members)
    crest = _newest(rows.filter(manner=seen.PALPATED, crest__isnull=False), found.members)
    recent, weights = _recent(found.members), _weights(found.members, now)
    orders, resolved = targets.orders_of(horses, now), evidence.resolved_of(horses)

    def facts(standing: Standing) -> risk.Facts:
        horse = standing.horse_id
        felt, came = tuple(recent.get(horse, ())), found.came[horse]
        held = orders.get(horse, targets.NO_ORDERS)
        last = felt[0] if felt else None
        return replace(
            horse_facts.facts_of(yard, standing, held, last, now=now),
            newest=newest.get(horse),
            recent=felt,
            crest=crest.get(horse),
            weights=tuple(weights.get(horse, ())),
            arrived_at=came.arrived_at,
            moved_at=came.moved_at,
            resolved=resolved.get(horse, {}),
        )

    return {standing.horse_id: facts(standing) for standing in standings}


def _newest(rows: QuerySet[Assessment], members: Mapping[int, int]) -> dict[int, seen.Score]:
    last = rows.order_by("horse_id", "-corrected_at", "-received_at", "-id").distinct("horse_id")
    found: dict[int, seen.Score] = {}
    for key, *values in last.values_list("horse_id", *evidence.SCORED):
        score, horse = evidence.score_of(values), members[key]
        if horse not in found or found[horse].at < score.at:
            found[horse] = score
    return found


def _recent(members: Mapping[int, int]) -> Mapping[int, list[seen.Score]]:
    """Return each horse's newest felt scores, newest first, those of all its kin together."""
    asked: dict[str, Any] = {"animals": list(members), "felt": seen.PALPATED}
    found: dict[int, list[seen.Score]] = defaultdict(list)
    with connection.cursor() as cursor:
        cursor.execute(_RECENT, asked)
        for key, *values in cursor.fetchall():
            if len(found[members[key]]) < evidence.RECENT:
                found[members[key]].append(evidence.score_of(values))
    return found


def _weights(members: Mapping[int, int], now: datetime) -> Mapping[int, list[seen.Weight]]:
    found: dict[int, list[seen.Weight]] = defaultdict(list)
    rows = Weighing.objects.filter(
        horse_id__in=members,
        corrected_at__gt=now - evidence.WEIGHTS_FOR,
        superseded_by__isnull=True,
    )
    rows = rows.order_by("corrected_at", "received_at", "id")
    for key, *values in rows.values_list("horse_id", *evidence.WEIGHED):
        found[members[key]].append(seen.Weight(*values))
    return found
