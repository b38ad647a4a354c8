"""The record as it was known at the end of a day gone by: what an officer asks for.

Readings, events, alerts and orders that came on record later are not there, corrections neither:
the database leaves them out (``isolation.as_known``). Stays and facts of the animal are told as
they stood before what the ledger says was changed later. Whatever the viewer may not see of today
is not seen of any day: the scope is today's.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, Q, Subquery

from scoring.models import Alert, Assessment, Weighing
from scoring.rules import gaps, scale
from yards.access import doors
from yards.models import EntryPayload, Horse, Stay
from yards.queries.horses import HorseCard, StayRow, YardName, card_of
from yards.rules.roles import Verb, Viewer, may

_CHANGED, _MOVED = "horse.changed", "horse.moved"
# What an entry of a change tells, and a card holds as it is.
_FACTS = frozenset(
    {
        *("name", "species", "kind", "sex", "use", "breeding", "laminitis", "endocrine"),
        *("transponder", "ueln", "handling", "status", "born_basis"),
    }
)


@dataclass(frozen=True, slots=True)
class Stood:
    """One horse as known then: where since when, what was last read of it, what was open.

    Scores in points; ``low`` and ``high`` are the band as it stood at that reading.
    """

    card: HorseCard
    since: datetime
    yard: YardName
    score: str
    scored_at: datetime | None
    low: Any
    high: Any
    weight_kg: Any
    weighed_at: datetime | None
    corrected: int
    open_alerts: int
    gap: gaps.Gap | None


@dataclass(frozen=True, slots=True)
class _Later:
    """What the ledger says was changed after the day: stays not yet known, facts before."""

    stays: frozenset[UUID]
    facts: Mapping[str, Any]


def known_horses(viewer: Viewer, *, at: datetime, yard: UUID | None = None) -> tuple[Stood, ...]:
    """Return the horses that stood here then as known then, by name, in eight queries."""
    doors.require(viewer, Verb.READ_DESK)
    if yard is not None:
        doors.yard_for_read(viewer, yard)
    rows = doors.horses_in_scope(viewer).filter(created_at__lte=at)
    if yard is not None:
        # Whoever never stood there is not read at all; whether they stood there then is told below.
        there = Stay.objects.filter(horse=OuterRef("id"), yard__ref=yard, from_at__lte=at)
        rows = rows.filter(Exists(there))
    horses = {each.id: each for each in rows.select_related("yard", "merged_into")}
    later = _later(horses.values(), at)
    stood = dict(_stood(horses, later, at))
    if yard is not None:
        stood = {key: stay for key, stay in stood.items() if stay.yard.ref == yard}
    return tuple(
        sorted(
            _told(viewer, horses, stood, later, at),
            key=lambda each: (each.yard.name.casefold(), each.card.name.casefold()),
        )
    )


def known_card(viewer: Viewer, ref: UUID, *, at: datetime) -> tuple[HorseCard, list[StayRow]]:
    """Return one horse's facts, and where it had stood, as known then; the last stay first."""
    doors.require(viewer, Verb.READ_DESK)
    horse = doors.horse_for_read(viewer, ref)
    later = _later([horse], at)[horse.id]
    stays = [each for each in _stays([horse.id], at) if each.ref not in later.stays]
    told = [
        StayRow(YardName(each.yard.ref, each.yard.name), _within(viewer, each.from_at), until)
        for each, until in zip(stays, [*(each.from_at for each in stays[1:]), None], strict=True)
    ]
    if told and stays[-1].until_at is not None and stays[-1].until_at <= at:
        told[-1] = replace(told[-1], until_at=stays[-1].until_at)
    return _card(horse, later), told[::-1]


def _card(horse: Horse, later: _Later) -> HorseCard:
    before: dict[str, Any] = {
        name: value or "" for name, value in later.facts.items() if name in _FACTS
    }
    return replace(card_of(horse), **before)


def _later(horses: Any, at: datetime) -> dict[int, _Later]:
    """Return what changed of horses after an instant, in one query."""
    keys = {each.ref: each.id for each in horses}
    rows = EntryPayload.objects.filter(
        entry__at__gt=at, entry__verb__in=(_CHANGED, _MOVED), entry__target_ref__in=list(keys)
    ).order_by("entry_id")
    stays: dict[int, set[UUID]] = {key: set() for key in keys.values()}
    facts: dict[int, dict[str, Any]] = {key: {} for key in keys.values()}
    for ref, verb, text in rows.values_list("entry__target_ref", "entry__verb", "payload"):
        if ref is None:
            continue
        said = json.loads(bytes(text))
        if verb == _MOVED and "stay" in said:
            stays[keys[ref]].add(UUID(said["stay"]))
        elif verb == _CHANGED:
            # The first change after the day says what stood on it.
            facts[keys[ref]] = {**said.get("before", {}), **facts[keys[ref]]}
    return {key: _Later(frozenset(stays[key]), facts[key]) for key in keys.values()}


def _stays(horses: Sequence[int], at: datetime) -> list[Stay]:
    rows = Stay.objects.filter(horse_id__in=horses, from_at__lte=at)
    return list(rows.select_related("yard").order_by("horse_id", "from_at", "id"))


def _stood(
    horses: Mapping[int, Horse], later: Mapping[int, _Later], at: datetime
) -> Iterator[tuple[int, Stay]]:
    last: dict[int, Stay] = {}
    moved_on: set[int] = set()
    for stay in _stays(list(horses), at):
        if stay.ref in later[stay.horse_id].stays:
            moved_on.add(stay.horse_id)
            continue
        last[stay.horse_id] = stay
    for key, stay in last.items():
        gone = later[key].facts.get("status", horses[key].status)
        here = stay.until_at is None or stay.until_at > at or key in moved_on
        if here or gone in ("present", "away"):
            yield key, stay


def ends(viewer: Viewer, at: datetime) -> datetime:
    """Return until when the record is told on a day: no later than the viewer's part of it."""
    return at if viewer.record_until is None else min(at, viewer.record_until)


def _within(viewer: Viewer, since: datetime) -> datetime:
    return since if viewer.record_from is None else max(since, viewer.record_from)


def _told(
    viewer: Viewer,
    horses: Mapping[int, Horse],
    stood: Mapping[int, Stay],
    later: Mapping[int, _Later],
    at: datetime,
) -> Iterator[Stood]:
    keys, until = list(stood), ends(viewer, at)
    scores = _current(Assessment, keys, "overall_sixths", "band_low", "band_high")
    weights = _current(Weighing, keys, "weight_kg")
    corrected = _corrected(keys)
    unresolved = Alert.objects.filter(horse_id__in=keys if may(viewer, Verb.READ_ALERTS) else [])
    still = unresolved.filter(Q(resolved_at__isnull=True) | Q(resolved_at__gt=at))
    open_then = list(still.values_list("horse_id", flat=True))
    for key, stay in stood.items():
        taken = scores.get(key, [])
        score = taken[-1] if taken else None
        weight = weights.get(key, [None])[-1]
        holes = gaps.gaps([each.corrected_at for each in taken], until)
        yield Stood(
            card=_card(horses[key], later[key]),
            since=_within(viewer, stay.from_at),
            yard=YardName(stay.yard.ref, stay.yard.name),
            score=_points(score),
            scored_at=score.corrected_at if score is not None else None,
            low=score.band_low if score is not None else None,
            high=score.band_high if score is not None else None,
            weight_kg=weight.weight_kg if weight is not None else None,
            weighed_at=weight.corrected_at if weight is not None else None,
            corrected=corrected.get(key, 0),
            open_alerts=open_then.count(key),
            gap=holes[-1] if holes else None,
        )


def _points(row: Any) -> str:
    if row is None or row.overall_sixths is None:
        return ""
    return scale.shown_mean(row.overall_sixths)


def _current(model: Any, horses: Sequence[int], *facts: str) -> dict[int, list[Any]]:
    """Return readings that nothing known corrects, by horse, in order, in one query."""
    newer = model.objects.filter(supersedes_id=OuterRef("id")).values("id")[:1]
    rows = model.objects.annotate(over=Subquery(newer)).filter(horse_id__in=horses, over=None)
    found: dict[int, list[Any]] = {}
    told = rows.only("horse_id", "corrected_at", "received_at", *facts)
    for row in told.order_by("corrected_at", "received_at", "id"):
        found.setdefault(row.horse_id, []).append(row)
    return found


def _corrected(horses: Sequence[int]) -> dict[int, int]:
    found: dict[int, int] = {}
    for model in (Assessment, Weighing):
        rows = model.objects.filter(horse_id__in=horses, supersedes__isnull=False)
        for key in rows.values_list("horse_id", flat=True):
            found[key] = found.get(key, 0) + 1
    return found


@dataclass(frozen=True, slots=True)
class OpenThen:
    """An alert that was open at an instant."""

    rule: str
    opened_at: datetime


def open_alerts(viewer: Viewer, ref: UUID, at: datetime) -> tuple[OpenThen, ...]:
    """Return the alerts of a horse that were open at an instant, the oldest first."""
    doors.require(viewer, Verb.READ_ALERTS)
    horse = doors.horse_for_read(viewer, ref)
    rows = Alert.objects.filter(horse=horse, opened_at__lte=at)
    still = rows.filter(Q(resolved_at__isnull=True) | Q(resolved_at__gt=at))
    return tuple(OpenThen(each.rule, each.opened_at) for each in still.order_by("opened_at", "id"))
