"""What a change of a rule would have meant in the last twelve months, from the stored readings.

A fixed number of queries, whatever the number of horses; so many readings at most, the horses read
last first, and the answer says of how many horses it tells. Readings of the months before warm the
filters up. Exceptions that stand are left out of both sides, and so is what people answered.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from django.db import connection

from scoring.models import Assessment
from scoring.queries import evidence, fits, lives, own_rules, series, targets
from scoring.rules import own_rule, replay, seen, threshold
from yards.access import doors
from yards.models import Horse, HorseEvent, Stay, Yard
from yards.rules import errors
from yards.rules.roles import Verb, Viewer

YEAR = timedelta(days=365)
# Longer than any gap that a baseline bridges, and than the weights that rules look back on.
WARM_UP = timedelta(days=183)
# What is worked out in two or three seconds.
MOST_READINGS = 10_000
# Rules that read none of these ask for no weighings, and so on.
SCORED = frozenset({"palpated", "visual", "trend", "stays", "standing"})
WEIGHED = frozenset({"weighing", "trend", "standing"})
NAMED = 12
_READ = """SELECT horse.id, count(reading.at)
    FROM yards_horse horse
    LEFT JOIN yards_horse member ON member.id = horse.id OR member.merged_into_id = horse.id
    LEFT JOIN LATERAL (
        SELECT corrected_at AS at FROM scoring_assessment
            WHERE %(scores)s AND horse_id = member.id AND corrected_at > %(first)s
        UNION ALL
        SELECT corrected_at FROM scoring_weighing
            WHERE %(weights)s AND horse_id = member.id AND corrected_at > %(first)s) reading ON true
    WHERE horse.status <> 'merged' AND (horse.ended_at IS NULL OR horse.ended_at > %(since)s)
        AND (%(yard)s::bigint IS NULL OR horse.yard_id = %(yard)s)
        AND (%(horse)s::bigint IS NULL OR horse.id = %(horse)s)
    GROUP BY horse.id ORDER BY max(reading.at) DESC NULLS LAST, horse.id"""


@dataclass(frozen=True, slots=True)
class Count:
    """So many alerts, on so many horses, so many of them opened in spring."""

    alerts: int
    horses: int
    in_spring: int


@dataclass(frozen=True, slots=True)
class Beside:
    """Another rule of which the change would have made other alerts."""

    rule: str
    today: Count
    proposed: Count


@dataclass(frozen=True, slots=True)
class Preview:
    """What a rule told by today's setting, and what it would have told by the proposed one.

    ``more`` and ``fewer`` name some horses that only the one or the other told of, by id; ``still``
    says which other rules of its kind would have told of the fewer all the same. ``of`` is how many
    horses there are, ``counted`` of how many this tells.
    """

    since: datetime
    until: datetime
    today: Count
    proposed: Count
    beside: Sequence[Beside]
    more: Sequence[tuple[UUID, str]]
    fewer: Sequence[tuple[UUID, str]]
    counted: int
    of: int
    has_spring: bool
    still: Mapping[UUID, Sequence[str]] = field(default_factory=dict)


def preview(viewer: Viewer, rule: str, raw: object, *, now: datetime) -> Preview:
    """Return what the proposed setting would have meant; nothing is stored.

    ``raw`` is what a change or an exception would send; with ``yard`` or ``horse`` it is an
    exception's. Raises NotAllowed or Invalid.
    """
    doors.require(viewer, Verb.EXCEPT_HORSES)
    yard, horse = _subject(viewer, raw)
    house = own_rules.held([], [], now).house
    stands = house.get(rule, own_rule.AS_DEFAULT)
    wanted = own_rule.proposed(raw, rule, stands)
    owns = [own_rules.own(house), own_rules.own({**house, rule: wanted})]
    return _previewed(rule, owns, yard, horse, now)


def _subject(viewer: Viewer, raw: object) -> tuple[Yard | None, Horse | None]:
    """Return the yard or horse that an exception would be of; neither: the organisation's rule."""
    yard, horse = own_rule.subject(raw)
    if horse is None:
        doors.require(viewer, Verb.CHANGE_RULES)
    try:
        if horse is not None:
            return None, doors.horse_for_read(viewer, horse)
        return (doors.yard_for_read(viewer, yard) if yard is not None else None), None
    except errors.NotFound:
        field = "horse" if horse is not None else "yard"
        raise errors.Invalid(errors.FieldError(field, "unknown_reference")) from None


def _previewed(
    rule: str, owns: Sequence[threshold.Own], yard: Yard | None, horse: Horse | None, now: datetime
) -> Preview:
    since = now - YEAR
    reads = {each for name in replay.asked(rule) for each in threshold.rule(name)["reads"]}
    keys, there = _horses(yard, horse, since, reads)
    rules = replay.asked(rule)
    pasts = _pasts(keys, since - WARM_UP, now, reads)
    wants = _wants(rule, owns, pasts, since - WARM_UP, now)
    told = replay.told(
        (replay.Life(past.horse.id, lives.moments(past, wants)) for past in pasts),
        rules,
        owns,
        since,
    )
    today, proposed = told
    names = {past.horse.id: (past.horse.ref, past.horse.name) for past in pasts}
    more = proposed[rule].horses - today[rule].horses
    fewer = today[rule].horses - proposed[rule].horses
    return Preview(
        since=since,
        until=now,
        today=_count(today[rule]),
        proposed=_count(proposed[rule]),
        beside=[
            Beside(each, _count(today[each]), _count(proposed[each]))
            for each in replay.changed(today, proposed, rule)
        ],
        more=_named(more, names),
        fewer=_named(fewer, names),
        counted=len(keys),
        of=there,
        still={
            names[key][0]: [each for each in rules if each != rule and key in proposed[each].horses]
            for key in fewer
        },
        has_spring=any(past.yard.hemisphere != "none" or past.yard.spring_first for past in pasts),
    )


def _count(told: replay.Told) -> Count:
    return Count(told.alerts, len(told.horses), told.in_spring)


def _named(keys: frozenset[int], names: Mapping[int, tuple[UUID, str]]) -> list[tuple[UUID, str]]:
    return sorted((names[key] for key in keys), key=lambda each: each[1].casefold())[:NAMED]


def _horses(
    yard: Yard | None, horse: Horse | None, since: datetime, reads: Set[str]
) -> tuple[list[int], int]:
    """Return the horses to replay, those read last first, and how many there are."""
    asked: dict[str, Any] = {
        "first": since - WARM_UP,
        "since": since,
        "scores": bool(reads & SCORED),
        "weights": bool(reads & WEIGHED),
        "yard": yard.id if yard is not None else None,
        "horse": horse.id if horse is not None else None,
    }
    with connection.cursor() as cursor:
        cursor.execute(_READ, asked)
        rows = cursor.fetchall()
    kept: list[int] = []
    read = 0
    for key, readings in rows:
        read += max(readings, 1)
        if kept and read > MOST_READINGS:
            break
        kept.append(key)
    return kept, len(rows)


def _wants(
    rule: str,
    owns: Sequence[threshold.Own],
    pasts: Sequence[lives.Past],
    first: datetime,
    last: datetime,
) -> lives.Wants:
    rules = frozenset(replay.asked(rule))
    yards = {yard.id: yard for past in pasts for _, yard in past.stays}
    days = [
        threshold.required(own.thresholds, name, "days", row["measure"]).value
        for own in owns
        for name in rules & lives.ARRIVING
        for row in threshold.rule(name)["thresholds"]
    ]
    return lives.Wants(
        rules=rules,
        first=first,
        last=last,
        trend=any("trend" in threshold.rule(each)["reads"] for each in rules),
        after_days=frozenset(int(each) for each in days),
        turns={key: lives.turns(yard, first, last) for key, yard in yards.items()}
        if rules & lives.SEASONAL
        else {},
    )


def _pasts(
    keys: Sequence[int], first: datetime, last: datetime, reads: Set[str]
) -> list[lives.Past]:
    """Return the months of horses, in a fixed number of queries, in the order of the keys."""
    horses = {each.id: each for each in Horse.objects.select_related("yard").filter(id__in=keys)}
    merged = Horse.objects.filter(merged_into_id__in=keys).values_list("id", "merged_into_id")
    members = {**{key: key for key in keys}, **dict(merged)}
    fit = fits.newest()
    in_force = fits.DEFAULTS if fit is None else fits.read(fit)
    scores = _scores(members if reads & SCORED else {}, first, last)
    weights = _weights(members if reads & WEIGHED else {}, first, last, in_force)
    stays, arrived, returned = _stays(keys), *_events(keys, last)
    through = targets.through(keys, first, last)
    return [
        lives.Past(
            horse=horses[key],
            yard=horses[key].yard,
            stays=stays[key],
            arrived=arrived[key],
            returned=returned[key],
            scores=scores[key],
            weights=weights[key],
            through=through.get(key),
            fit=in_force,
        )
        for key in keys
    ]


def _scores(
    members: Mapping[int, int], first: datetime, last: datetime
) -> Mapping[int, list[seen.Score]]:
    found: dict[int, list[seen.Score]] = defaultdict(list)
    rows = Assessment.objects.filter(
        horse_id__in=list(members),
        superseded_by__isnull=True,
        corrected_at__gt=first,
        corrected_at__lte=last,
    ).order_by("corrected_at", "received_at", "id")
    for horse, *values in rows.values_list("horse_id", *evidence.SCORED).iterator():
        found[members[horse]].append(evidence.score_of(values))
    return found


_WEIGHED = (
    *("horse_id", "corrected_at", "received_at", "weight_kg", "method"),
    *("likely_error_kg", "assessor_id", "instrument_id", "formula"),
)


def _weights(
    members: Mapping[int, int], first: datetime, last: datetime, fit: fits.InForce
) -> Mapping[int, list[lives.Weighed]]:
    found: dict[int, list[lives.Weighed]] = defaultdict(list)
    rows = series.weighed(members).filter(corrected_at__gt=first, corrected_at__lte=last)
    rows = rows.order_by("corrected_at", "received_at", "id").only(*_WEIGHED)
    for row in rows.iterator(chunk_size=2000):
        weight = seen.Weight(row.corrected_at, row.received_at, row.weight_kg, row.method)
        taken = series.weight_reading(row, fit)
        found[members[row.horse_id]].append(lives.Weighed(weight, taken, series.instrument(row)))
    return found


def _stays(keys: Sequence[int]) -> Mapping[int, list[tuple[datetime, Yard]]]:
    found: dict[int, list[tuple[datetime, Yard]]] = defaultdict(list)
    yards = {yard.id: yard for yard in Yard.objects.all()}
    rows = Stay.objects.filter(horse_id__in=keys).order_by("from_at", "id")
    for horse, yard, at in rows.values_list("horse_id", "yard_id", "from_at"):
        found[horse].append((at, yards[yard]))
    return found


def _events(
    keys: Sequence[int], last: datetime
) -> tuple[Mapping[int, list[datetime]], Mapping[int, list[datetime]]]:
    """Return when horses are said to have arrived, and to have returned."""
    found: dict[str, dict[int, list[datetime]]] = {
        kind: defaultdict(list) for kind in ("arrived", "returned")
    }
    rows = HorseEvent.objects.filter(horse_id__in=keys, kind__in=list(found), at__lte=last)
    for horse, kind, at in rows.order_by("at", "id").values_list("horse_id", "kind", "at"):
        found[kind][horse].append(at)
    return found["arrived"], found["returned"]
