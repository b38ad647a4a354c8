"""A round: the horses of a yard in walking order, and what whoever scores them there must know.

Nothing here anchors the hand: no score, no band, no alert. Those are in ``after_round``, which a
phone keeps apart and opens for a horse when that horse has been felt.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from uuid import UUID

from django.db.models import Count, Q, QuerySet

from scoring.models import Standing
from scoring.queries import board, instruments, weight_formulas
from scoring.rules import scale
from yards.access import doors
from yards.models import Horse
from yards.queries import people, walks, yards
from yards.rules import daytime
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class RoundDue:
    """When score and weight fall due; ``state`` is the graver of the two by the yard's calendar.

    ``what`` falls due first, ``on`` a day of the yard, ``days`` overdue, 0 on the day.
    """

    score_at: datetime
    weight_at: datetime
    state: str
    what: str
    on: date
    days: int


@dataclass(frozen=True, slots=True)
class RoundHorse:
    """One horse on the walk. ``order`` counts from 1; ``caution`` is its note on handling."""

    id: UUID
    name: str
    species: str
    kind: str
    sex: str
    use: str
    breeding: str
    born: str | None
    height_cm: Decimal | None
    is_unknown: bool
    scale: str
    order: int
    due: RoundDue
    caution: str
    foal_at_foot: bool


@dataclass(frozen=True, slots=True)
class Round:
    """A yard's round as it stands. ``may_order``: the viewer may set the walking order."""

    yard: yards.YardCard
    made_at: datetime
    horses: Sequence[RoundHorse]
    may_order: bool


@dataclass(frozen=True, slots=True)
class RoundKit:
    """A round with all that a phone needs to walk it out of reach."""

    round: Round
    person: people.PersonName
    organisation: UUID
    overall_rule: str
    instruments: Sequence[instruments.InstrumentCard]
    formulas: Sequence[weight_formulas.FormulaCard]


@dataclass(frozen=True, slots=True)
class RoundYard:
    """A yard to walk: how many horses stand there, and of how many something is due."""

    id: UUID
    name: str
    horses: int
    due: int


def list_rounds(viewer: Viewer, *, now: datetime) -> tuple[RoundYard, ...]:
    """Return the yards that the viewer may walk, by name, in two queries."""
    doors.require(viewer, Verb.WALK_ROUNDS)
    places = list(doors.yards_in_scope(viewer).order_by("name_key", "id"))
    late = _due_today({each.time_zone for each in places}, now)
    rows = _standings(viewer).order_by().values("horse__yard_id")
    rows = rows.annotate(here=Count("id"), late=Count("id", filter=late))
    counts = {each["horse__yard_id"]: (each["here"], each["late"]) for each in rows}
    return tuple(RoundYard(each.ref, each.name, *counts.get(each.id, (0, 0))) for each in places)


def _due_today(zones: Iterable[str], now: datetime) -> Q:
    """Return the condition that score or weight is due by the end of the yard's own day."""
    found = Q(pk__in=[])
    for zone in zones:
        tomorrow = daytime.local_date(now, zone) + timedelta(days=1)
        ends = daytime.at_local(tomorrow, time(), zone)
        late = Q(score_due_at__lt=ends) | Q(weight_due_at__lt=ends)
        found |= Q(horse__yard__time_zone=zone) & late
    return found


def the_round(viewer: Viewer, yard: UUID, *, now: datetime) -> Round:
    """Return the round of a yard, the horses in scope on it; raises NotFound or NotAllowed."""
    place = doors.yard_for_read(viewer, yard)
    doors.require(viewer, Verb.WALK_ROUNDS)
    found = _standings(viewer).filter(horse__yard_id=place.id).order_by(*walks.by_walk("horse__"))
    return Round(
        yards.card_of(place),
        now,
        [
            _horse(each.horse, number, _due(each, place.time_zone, now))
            for number, each in enumerate(found, start=1)
        ],
        doors.sees_whole(viewer, place),
    )


def round_kit(viewer: Viewer, yard: UUID, *, now: datetime) -> RoundKit:
    """Return a round to take along: tapes, scales and formulas beside the horses."""
    walked = the_round(viewer, yard, now=now)
    known = (None, yard)
    tapes = instruments.choose_instruments(viewer)
    return RoundKit(
        walked,
        people.PersonName(doors.person_of(viewer), people.name_here(viewer)),
        viewer.organisation,
        people.overall_rule(viewer),
        [each for each in tapes if each.yard in known],
        weight_formulas.list_formulas(viewer),
    )


def _standings(viewer: Viewer) -> QuerySet[Standing]:
    """Return the standings of the horses in scope that are here, with their horses."""
    scope = doors.scope(viewer, horse="horse_id", yard="horse__yard_id")
    return Standing.objects.filter(scope, horse__status="present").select_related("horse")


def _due(standing: Standing, zone: str, now: datetime) -> RoundDue:
    first = board.next_due(standing, zone, now)
    return RoundDue(
        standing.score_due_at,
        standing.weight_due_at,
        first.state,
        first.what,
        first.on,
        first.days,
    )


def _horse(horse: Horse, order: int, when: RoundDue) -> RoundHorse:
    return RoundHorse(
        id=horse.ref,
        name=horse.name,
        species=horse.species,
        kind=horse.kind,
        sex=horse.sex,
        use=horse.use,
        breeding=horse.breeding,
        born=horse.born or None,
        height_cm=horse.height_cm,
        is_unknown=horse.is_unknown,
        scale=scale.usual_for(horse.species),
        order=order,
        due=when,
        caution=horse.handling,
        foal_at_foot=horse.breeding == "lactating",
    )
