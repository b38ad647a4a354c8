"""The record as it was known at the end of a day gone by: what an officer asks for.

Readings, events, alerts and orders that came on record later are not there, corrections neither:
the database leaves them out (``isolation.as_known``). Stays and facts of the animal are told as
they stood before what the ledger says was changed later. Once an erasure has taken what a later
change said, what stood before it is not known. Whatever the viewer may not see of today is not seen
of any day: the scope is today's.
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
from yards.models import Entry, EntryPayload, Horse, Stay
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
# What else a change may have changed, and a card holds in its own way.
_MORE = frozenset({"born", "height_cm"})


@dataclass(frozen=True, slots=True)
class Stood:
    """One horse as known then: where since when, what was last read of it, what was open.

    Scores in points; ``low`` and ``high`` are the band as it stood at that reading. ``unknown``
    names the facts that are not known of that day: the card is empty there, but for the name, by
    which the animal is called today. ``since`` and ``yard`` are None where they are not known.
    """

    card: HorseCard
    unknown: frozenset[str]
    since: datetime | None
    yard: YardName | None
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
    """What the ledger says was changed after the day: stays not yet known, facts before.

    ``unknown`` are facts that an emptied entry may have changed; ``moved``: one may have moved it.
    """

    stays: frozenset[UUID]
    facts: Mapping[str, Any]
    unknown: frozenset[str]
    moved: bool


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
        # Of whoever may have stood there that is said: to leave it out would be an answer.
        stood = {key: stay for key, stay in stood.items() if stay is None or stay.yard.ref == yard}
    return tuple(sorted(_told(viewer, horses, stood, later, at), key=_place))


def _place(each: Stood) -> tuple[bool, str, str]:
    name = each.yard.name.casefold() if each.yard is not None else ""
    return each.yard is None, name, each.card.name.casefold()


def known_card(
    viewer: Viewer, ref: UUID, *, at: datetime
) -> tuple[HorseCard, frozenset[str], list[StayRow]]:
    """Return one horse's facts, and where it had stood, as known then; the last stay first.

    Between them the facts that are not known of that day, as ``Stood.unknown``; "stays" among them
    where those are not known, and none is told.
    """
    doors.require(viewer, Verb.READ_DESK)
    horse = doors.horse_for_read(viewer, ref)
    later = _later([horse], at)[horse.id]
    if later.moved:
        return _card(horse, later), later.unknown | {"stays"}, []
    stays = [each for each in _stays([horse.id], at) if each.ref not in later.stays]
    told = [
        StayRow(YardName(each.yard.ref, each.yard.name), _within(viewer, each.from_at), until)
        for each, until in zip(stays, [*(each.from_at for each in stays[1:]), None], strict=True)
    ]
    if told and stays[-1].until_at is not None and stays[-1].until_at <= at:
        told[-1] = replace(told[-1], until_at=stays[-1].until_at)
    return _card(horse, later), later.unknown, told[::-1]


def _card(horse: Horse, later: _Later) -> HorseCard:
    before: dict[str, Any] = {
        name: value or "" for name, value in later.facts.items() if name in _FACTS
    }
    before |= dict.fromkeys(later.unknown & _FACTS - {"name"}, "")
    before |= dict.fromkeys(later.unknown & _MORE, None)
    return replace(card_of(horse), **before)


def _later(horses: Any, at: datetime) -> dict[int, _Later]:
    """Return what changed of horses after an instant, in one query."""
    keys = {each.ref: each.id for each in horses}
    said = EntryPayload.objects.filter(
        organisation_id=OuterRef("organisation_id"), entry_id=OuterRef("id")
    )
    rows = Entry.objects.filter(
        at__gt=at, verb__in=(_CHANGED, _MOVED), target_ref__in=list(keys)
    ).order_by("id")
    found: dict[int, list[tuple[str, Any]]] = {key: [] for key in keys.values()}
    told = rows.values_list("target_ref", "verb", Subquery(said.values("payload")[:1]))
    for ref, verb, text in told:
        if ref is not None:
            found[keys[ref]].append((verb, None if text is None else json.loads(bytes(text))))
    return {key: _changes(each) for key, each in found.items()}


def _changes(found: list[tuple[str, Any]]) -> _Later:
    """Put together what entries of one horse say, in order; None is one that was emptied."""
    stays: set[UUID] = set()
    facts: dict[str, Any] = {}
    unknown: frozenset[str] = frozenset()
    for verb, said in found:
        if verb == _MOVED and said is not None and "stay" in said:
            stays.add(UUID(said["stay"]))
        elif verb == _CHANGED and said is None:
            # It may have changed whatever no change before it did.
            unknown |= (_FACTS | _MORE) - facts.keys()
        elif verb == _CHANGED:
            # The first change after the day says what stood on it.
            facts = {**said.get("before", {}), **facts}
    known = {name: value for name, value in facts.items() if name not in unknown}
    moved = any(verb == _MOVED and said is None for verb, said in found)
    return _Later(frozenset(stays), known, unknown, moved)


def _stays(horses: Sequence[int], at: datetime) -> list[Stay]:
    rows = Stay.objects.filter(horse_id__in=horses, from_at__lte=at)
    return list(rows.select_related("yard").order_by("horse_id", "from_at", "id"))


def _stood(
    horses: Mapping[int, Horse], later: Mapping[int, _Later], at: datetime
) -> Iterator[tuple[int, Stay | None]]:
    """Yield who stood here, with its stay; None: it may have, and where is not known."""
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
        if later[key].moved or (not here and "status" in later[key].unknown):
            yield key, None
        elif here or gone in ("present", "away"):
            yield key, stay


def ends(viewer: Viewer, at: datetime) -> datetime:
    """Return until when the record is told on a day: no later than the viewer's part of it."""
    return at if viewer.record_until is None else min(at, viewer.record_until)


def _within(viewer: Viewer, since: datetime) -> datetime:
    return since if viewer.record_from is None else max(since, viewer.record_from)


def _told(
    viewer: Viewer,
    horses: Mapping[int, Horse],
    stood: Mapping[int, Stay | None],
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
            unknown=later[key].unknown,
            since=_within(viewer, stay.from_at) if stay is not None else None,
            yard=YardName(stay.yard.ref, stay.yard.name) if stay is not None else None,
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
