"""What the risk rules are told of one animal, in a fixed number of queries.

``yard_evidence`` tells them of a whole yard at once.
"""

import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Max

from scoring.models import Assessment, Concern, Standing
from scoring.queries import horse_facts, own_rules, targets
from scoring.queries import kin as kinship
from scoring.rules import ladder, risk, seen
from yards import isolation
from yards.models import Horse, HorseEvent, Yard, rows
from yards.rules.roles import Viewer

# Counted back from the last weighing, whenever it was: what an animal lost is not forgotten because
# nobody weighs it.
WEIGHTS_FOR = timedelta(days=125)
# A little longer than the days that a word on appetite may count for.
FED_FOR = timedelta(days=8)
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
    felt       the newest felt one that does
    palpated   the newest felt one with an overall
    ate        the newest of the last days that says how the animal ate
    recent     the newest few of those, newest first
    crest      the newest felt one with a cresty neck score
    weighing   the key of the newest weighing, however old, and ``weighed_at`` its time
    weights    the weighings of some time up to it, oldest first
    came       when it came, and when it moved last
    """

    any: Look | None
    speaks: Look | None
    felt: Look | None
    palpated: Look | None
    crest: Look | None
    ate: Look | None
    weighing: int | None
    weighed_at: datetime | None
    weights: tuple[seen.Weight, ...]
    recent: tuple[seen.Score, ...]
    came: kinship.Came


SCORED = (
    *("corrected_at", "received_at", "scale", "manner", "neck", "back", "hind", "whole"),
    *("fat_pocket", "crest", "danger_signs", "appetite", "assessor_id"),
)
WEIGHED = ("corrected_at", "received_at", "weight_kg", "method")
# Asked after every reading, and in SQL: the mapper takes longer to write it than the database to
# answer it. One row for each question, the same row for most of them, and the recent ones.
ORDER = "corrected_at DESC, received_at DESC, id DESC"
FELT = "manner = %(felt)s AND overall_sixths IS NOT NULL"
# Member by member, so that the index ends at the newest; OFFSET 0 keeps the planner from joining
# every reading with every other, which it does where it does not know yet how many there are.
_ROWS = f"""(SELECT found.id FROM {{members}} member (horse) CROSS JOIN LATERAL
    (SELECT id, corrected_at, received_at FROM scoring_assessment row
        WHERE horse_id = member.horse AND {{question}} AND NOT EXISTS
            (SELECT FROM scoring_assessment later WHERE later.supersedes_id = row.id OFFSET 0)
        ORDER BY {ORDER} LIMIT {{most}}) found
    ORDER BY {ORDER} LIMIT {{most}})"""  # noqa: S608 - constants only
SPEAKS = "num_nonnulls(neck, back, hind, whole) > 0"
# The newest one of each is asked for, of one horse and of a yard's.
ONES = {
    "speaking": SPEAKS,
    "felt": f"manner = %(felt)s AND {SPEAKS}",
    "crest": "manner = %(felt)s AND crest IS NOT NULL",
    "ate": "appetite = ANY(%(stated)s) AND corrected_at > %(since)s",
}
# Nearly always it is one animal; of an array the planner takes it to be ten, and plans each time.
_ONE, _SOME = "(VALUES (%(kin)s::bigint))", "unnest(%(kin)s::bigint[])"


def _looks_of(members: str) -> str:
    each = (_ROWS.format(members=members, question=one, most=1) for one in ("true", *ONES.values()))
    recent = _ROWS.format(members=members, question=FELT, most=RECENT)
    return f"""SELECT id, {", ".join(SCORED)} FROM scoring_assessment
        WHERE id = ANY(ARRAY[{", ".join(each)}] || ARRAY{recent})
        ORDER BY {ORDER}"""  # noqa: S608 - constants only


def _weights_of(members: str) -> str:
    counted = f"""FROM scoring_weighing row
        WHERE horse_id IN (SELECT horse FROM {members} member (horse)) AND NOT EXISTS
        (SELECT FROM scoring_weighing later WHERE later.supersedes_id = row.id OFFSET 0)"""  # noqa: S608
    return f"""SELECT id, {", ".join(WEIGHED)} {counted} AND corrected_at >
            (SELECT corrected_at {counted} ORDER BY {ORDER} LIMIT 1) - %(span)s
        ORDER BY {ORDER}"""


_LOOKS = {each: _looks_of(each) for each in (_ONE, _SOME)}
_WEIGHTS = {each: _weights_of(each) for each in (_ONE, _SOME)}


def _asked(statements: Mapping[str, str], kin: Sequence[int], **values: Any) -> list[Any]:
    if len(kin) == 1:
        return rows.asked(statements[_ONE], {"kin": kin[0], **values})
    return rows.asked(statements[_SOME], {"kin": list(kin), **values})


def score_of(values: Sequence[Any]) -> seen.Score:
    """Return a score from the values of ``SCORED``."""
    at, received, scale, manner, neck, back, hind, whole, pocket, crest, signs, *rest = values
    return seen.Score(
        at, received, scale, manner, neck, back, hind, whole, pocket, crest, tuple(signs), *rest
    )


def score_of_row(row: Assessment) -> seen.Score:
    """Return an assessment as the rules see it."""
    return score_of([getattr(row, name) for name in SCORED])


def asked(now: datetime) -> dict[str, Any]:
    """Return what the conditions of ``ONES`` and ``FELT`` compare with."""
    return {"felt": seen.PALPATED, "stated": list(seen.STATED), "since": now - FED_FOR}


def newest_of(horse: int, now: datetime) -> Newest:
    """Return what is newest of one horse, in three queries."""
    found = kinship.kin_of([horse], now)
    kin = list(found.members)
    looks = _looks(kin, now)
    felt = [each for each in looks if each.score.is_palpated]
    whole = [each for each in felt if each.score.sixths is not None]
    weighed = _asked(_WEIGHTS, kin, span=WEIGHTS_FOR)
    weights = [(row[0], seen.Weight(*row[1:])) for row in weighed]
    return Newest(
        any=next(iter(looks), None),
        speaks=next((each for each in looks if each.score.says_something), None),
        felt=next((each for each in felt if each.score.says_something), None),
        palpated=next(iter(whole), None),
        recent=tuple(each.score for each in whole[:RECENT]),
        crest=next((each for each in felt if each.score.crest is not None), None),
        ate=next((each for each in looks if _says_how_it_ate(each.score, now)), None),
        weighing=weights[0][0] if weights else None,
        weighed_at=weights[0][1].at if weights else None,
        weights=tuple(each for _, each in reversed(weights)),
        came=found.came[horse],
    )


def _says_how_it_ate(score: seen.Score, now: datetime) -> bool:
    return score.states_appetite and score.at > now - FED_FOR


def _looks(kin: Sequence[int], now: datetime) -> list[Look]:
    """Return the newest assessment for each question that ``Newest`` answers, newest first."""
    found = _asked(_LOOKS, kin, **asked(now))
    return [Look(row[0], score_of(row[1:])) for row in found]


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
    own = own_rules.held([yard.id], [standing.horse_id], now).of(
        yard=yard.id, horse=standing.horse_id
    )
    return replace(
        horse_facts.facts_of(yard, standing, orders, _score(newest.palpated), now=now, own=own),
        speaking=_score(newest.speaks),
        felt=_score(newest.felt),
        ate=_score(newest.ate),
        recent=newest.recent,
        crest=_score(newest.crest),
        weights=newest.weights,
        arrived_at=newest.came.arrived_at,
        moved_at=newest.came.moved_at,
    )


def _score(look: Look | None) -> seen.Score | None:
    return look.score if look is not None else None


_RESOLVED = """SELECT DISTINCT ON (horse_id, rule) horse_id, rule, resolved_at, severity, said
    FROM scoring_alert WHERE horse_id = ANY(%(horses)s) AND resolution = 'person'
    ORDER BY horse_id, rule, resolved_at DESC"""


def resolved_of(horses: Sequence[int]) -> Mapping[int, dict[str, seen.Answer]]:
    """Return by horse key how a person last resolved each rule's alert."""
    found: dict[int, dict[str, seen.Answer]] = defaultdict(dict)
    for horse, rule, at, severity, told in rows.asked(_RESOLVED, {"horses": list(horses)}):
        said = json.loads(told)
        keys = frozenset(key for key, _ in said["evidence"])
        found[horse][rule] = seen.Answer(at, severity, said.get("basis", ""), keys)
    return found
