"""What the risk rules are told of many horses at once, in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from django.db import connection

from scoring.models import Standing
from scoring.queries import evidence, horse_facts, kin, own_rules, targets
from scoring.rules import risk, seen
from yards import isolation
from yards.rules.roles import Viewer

# The newest one for each question of ``evidence.ONES``, each by the index on an animal's readings.
_ONES = " UNION ALL ".join(
    f"""(SELECT '{name}' AS question, id, {", ".join(evidence.SCORED)}
        FROM scoring_assessment row WHERE horse_id = animal AND NOT EXISTS
            (SELECT FROM scoring_assessment later WHERE later.supersedes_id = row.id)
        AND {condition} ORDER BY {evidence.ORDER} LIMIT 1)"""  # noqa: S608 - constants only
    for name, condition in evidence.ONES.items()
)
_NEWEST = f"""SELECT animal, question, {", ".join(evidence.SCORED)}
    FROM unnest(%(animals)s::bigint[]) animal CROSS JOIN LATERAL ({_ONES}) newest
    ORDER BY {evidence.ORDER}"""  # noqa: S608 - constants only
# The last weighing of each animal and those of some time before it.
_WEIGHTS = f"""SELECT animal, {", ".join(f"row.{name}" for name in evidence.WEIGHED)}
    FROM unnest(%(animals)s::bigint[]) animal CROSS JOIN LATERAL (
        SELECT corrected_at AS at FROM scoring_weighing row WHERE horse_id = animal AND NOT EXISTS
            (SELECT FROM scoring_weighing later WHERE later.supersedes_id = row.id)
        ORDER BY corrected_at DESC LIMIT 1) last
    JOIN scoring_weighing row ON row.horse_id = animal AND row.corrected_at > last.at - %(length)s
    WHERE NOT EXISTS (SELECT FROM scoring_weighing later WHERE later.supersedes_id = row.id)
    ORDER BY row.corrected_at, row.received_at, row.id"""  # noqa: S608 - constants only
# The newest few felt scores of each animal, by the index on them: never the whole history.
_RECENT = f"""SELECT animal, {", ".join(evidence.SCORED)}
    FROM unnest(%(animals)s::bigint[]) animal CROSS JOIN LATERAL (
        SELECT * FROM scoring_assessment row WHERE horse_id = animal AND NOT EXISTS
            (SELECT FROM scoring_assessment later WHERE later.supersedes_id = row.id)
        AND {evidence.FELT} ORDER BY {evidence.ORDER} LIMIT {evidence.RECENT}) newest
    ORDER BY {evidence.ORDER}"""  # noqa: S608 - constants only


def facts_of_horses(
    viewer: Viewer, standings: Sequence[Standing], *, now: datetime
) -> dict[int, risk.Facts]:
    """Return the facts of horses by horse key; their standings hold horse, yard and due times.

    For a look at the calendar, not at a new reading: no danger signs are among the facts.
    """
    isolation.required(viewer)
    horses = [standing.horse_id for standing in standings]
    found = kin.kin_of(horses, now)
    newest = _newest(found.members, now)
    recent, weights = _recent(found.members, now), _weights(found.members)
    orders, resolved = targets.orders_of(horses, now), evidence.resolved_of(horses)
    yards = {standing.horse_id: standing.horse.yard for standing in standings}
    held_here = own_rules.held([yard.id for yard in set(yards.values())], horses, now)

    def facts(standing: Standing) -> risk.Facts:
        horse = standing.horse_id
        one = newest.get(horse, {})
        felt, came = tuple(recent.get(horse, ())), found.came[horse]
        held = orders.get(horse, targets.NO_ORDERS)
        last, yard = felt[0] if felt else None, yards[horse]
        own = held_here.of(yard=yard.id, horse=horse)
        return replace(
            horse_facts.facts_of(yard, standing, held, last, now=now, own=own),
            speaking=one.get("speaking"),
            felt=one.get("felt"),
            ate=one.get("ate"),
            recent=felt,
            crest=one.get("crest"),
            weights=tuple(weights.get(horse, ())),
            arrived_at=came.arrived_at,
            moved_at=came.moved_at,
            resolved=resolved.get(horse, {}),
        )

    return {standing.horse_id: facts(standing) for standing in standings}


def _newest(members: Mapping[int, int], now: datetime) -> Mapping[int, dict[str, seen.Score]]:
    """Return each horse's newest reading for each question, those of all its kin together."""
    found: dict[int, dict[str, seen.Score]] = defaultdict(dict)
    for key, question, *values in _rows(_NEWEST, members, **evidence.asked(now)):
        found[members[key]].setdefault(question, evidence.score_of(values))
    return found


def _recent(members: Mapping[int, int], now: datetime) -> Mapping[int, list[seen.Score]]:
    """Return each horse's newest felt scores, newest first, those of all its kin together."""
    found: dict[int, list[seen.Score]] = defaultdict(list)
    for key, *values in _rows(_RECENT, members, **evidence.asked(now)):
        if len(found[members[key]]) < evidence.RECENT:
            found[members[key]].append(evidence.score_of(values))
    return found


def _weights(members: Mapping[int, int]) -> Mapping[int, list[seen.Weight]]:
    """Return each horse's last weighing and those of some time before it, oldest first."""
    found: dict[int, list[seen.Weight]] = defaultdict(list)
    for key, *values in _rows(_WEIGHTS, members, length=evidence.WEIGHTS_FOR):
        found[members[key]].append(seen.Weight(*values))
    # Of kin the last one of all counts.
    return {
        horse: [each for each in taken if each.at > taken[-1].at - evidence.WEIGHTS_FOR]
        for horse, taken in found.items()
    }


def _rows(statement: str, members: Mapping[int, int], **asked: Any) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(statement, {"animals": list(members), **asked})
        found: list[tuple[Any, ...]] = cursor.fetchall()
        return found
