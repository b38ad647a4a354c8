"""What holds for a horse by its kind, its breeding and its vet: the band, how often to look."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple

from django.db import connection

from scoring.rules import band as bands
from scoring.rules import scale as scales
from yards.models import Horse, Yard
from yards.rules import breeding, daytime, seasons

# No gestation, with the months of milk after it, reaches further back; nor does a foal's weaning
# count past its first year.
EVENTS_FOR = timedelta(days=2 * 366)


@dataclass(frozen=True, slots=True)
class Orders:
    """What the target hangs on besides the horse's own row.

    A vet's word in force, the newest band and the newest intervals, in days; and the breeding
    events until then, in order, those of animals that turned out to be this horse among them.
    """

    band: bands.Override | None = None
    score_days: int | None = None
    weight_days: int | None = None
    events: tuple[tuple[str, datetime], ...] = ()


class _Row(NamedTuple):
    """One row of either kind: an order from an instant to another, or an event at an instant."""

    horse: int
    id: int
    at: datetime
    until: datetime | None
    band_low: int | None
    band_high: int | None
    score_days: int | None
    weight_days: int | None
    kind: str | None


NO_ORDERS = Orders()
# Asked after every reading, so both in one question; the organisation's wall is in the database.
_ROWS = """SELECT given.horse_id, given.id, given.given_at, least(given.until_at, ended.ended_at),
        given.band_low, given.band_high, given.score_days, given.weight_days, NULL::text AS kind
    FROM scoring_vetorder given
    LEFT JOIN scoring_vetorderend ended ON ended.order_id = given.id
        AND ended.organisation_id = given.organisation_id
    WHERE given.horse_id = ANY(%(horses)s) AND given.given_at <= %(last)s
        AND least(given.until_at, ended.ended_at) > %(first)s
    UNION ALL
    SELECT horse_id, id, at, NULL, NULL, NULL, NULL, NULL, kind
    FROM yards_horseevent
    WHERE horse_id = ANY(%(horses)s) AND kind = ANY(%(kinds)s)
        AND at > %(since)s AND at <= %(last)s
    UNION ALL
    SELECT horse.merged_into_id, event.id, event.at, NULL, NULL, NULL, NULL, NULL, event.kind
    FROM yards_horse horse JOIN yards_horseevent event ON event.horse_id = horse.id
    WHERE horse.merged_into_id = ANY(%(horses)s) AND event.kind = ANY(%(kinds)s)
        AND event.at > %(since)s AND event.at <= %(last)s"""


def orders_of(horses: Sequence[int], now: datetime) -> Mapping[int, Orders]:
    """Return what is in force by horse key, in one query; those without any are left out."""
    return _newest(_rows(horses, now, now), now)


def orders_at(horse: int, *instants: datetime) -> list[Orders]:
    """Return what is in force of one horse at each of some instants, in one query.

    Breeding events until the last instant are in all: what happened later tells of before.
    """
    held = _rows([horse], min(instants), max(instants))
    return [_newest(held, at).get(horse, NO_ORDERS) for at in instants]


def through(horses: Sequence[int], first: datetime, last: datetime) -> Mapping[int, "Through"]:
    """Return what was in force of horses from one instant to another, in one query, by horse key.

    Those without any are left out.
    """
    found: dict[int, list[_Row]] = {}
    for row in _rows(horses, first, last):
        found.setdefault(row.horse, []).append(row)
    return {horse: Through(horse, rows) for horse, rows in found.items()}


def between(horse: int, *instants: datetime) -> "Through":
    """Return what was in force of one horse between some instants, in one query."""
    return Through(horse, _rows([horse], min(instants), max(instants)))


@dataclass(frozen=True, slots=True)
class Through:
    """One horse's orders and breeding events over a time."""

    horse: int
    rows: Sequence[_Row]

    def at(self, at: datetime) -> Orders:
        """Return what was in force at an instant of that time, by what was known then."""
        known = [row for row in self.rows if row.at <= at]
        return _newest(known, at).get(self.horse, NO_ORDERS) if known else NO_ORDERS

    def looking_back(self, at: datetime, *, until: datetime | None = None) -> Orders:
        """Return the orders in force at an instant, with every event: what came later tells of it.

        Events after ``until`` are left out: from then on the record said otherwise.
        """
        told = [row for row in self.rows if row.kind is None or until is None or row.at <= until]
        return _newest(told, at).get(self.horse, NO_ORDERS)


def _rows(horses: Sequence[int], first: datetime, last: datetime) -> list[_Row]:
    """Return orders in force at some time between two instants and events until the last."""
    asked: dict[str, Any] = {
        "horses": list(horses),
        "kinds": list(breeding.KINDS),
        "since": first - EVENTS_FOR,
        "first": first,
        "last": last,
    }
    with connection.cursor() as cursor:
        cursor.execute(_ROWS, asked)
        return [_Row(*row) for row in cursor.fetchall()]


def _newest(rows: Iterable[_Row], at: datetime) -> Mapping[int, Orders]:
    """Return by horse key the newest band and intervals in force at an instant, and the events."""
    found: dict[int, Orders] = {}
    for row in sorted(rows, key=_order):
        held = found.get(row.horse, NO_ORDERS)
        if row.kind is not None:
            found[row.horse] = replace(held, events=(*held.events, (row.kind, row.at)))
        elif row.until is not None and row.at <= at < row.until:
            found[row.horse] = replace(
                held,
                band=_override(row) or held.band,
                score_days=row.score_days or held.score_days,
                weight_days=row.weight_days or held.weight_days,
            )
    return found


def _order(row: _Row) -> tuple[bool, datetime | int, int]:
    """Return where a row stands: orders as they were given, then events as they happened."""
    return (row.kind is not None, row.id if row.kind is None else row.at, row.id)


def _override(row: _Row) -> bands.Override | None:
    if row.band_low is None or row.band_high is None or row.until is None:
        return None
    return bands.Override(row.band_low, row.band_high, row.until)


def band_of(
    horse: Horse, yard: Yard, at: datetime, *, orders: Orders = NO_ORDERS, scale: str | None = None
) -> bands.Band:
    """Return the horse's band on the yard's day of an instant, on its usual scale or another."""
    key = scale or scales.usual_for(horse.species)
    facts = band_facts(horse, yard, orders)
    return bands.band(facts, daytime.local_date(at, yard.time_zone), key, at)


def band_facts(horse: Horse, yard: Yard, orders: Orders) -> bands.Facts:
    """Return what the band hangs on: stage of life and breeding among it."""
    return bands.Facts(
        species=horse.species,
        use=horse.use,
        breeding=horse.breeding,
        born_earliest=horse.born_earliest,
        hemisphere=yard.hemisphere,
        spring=seasons.spring_of(yard.spring_first, yard.spring_last),
        override=orders.band,
        born_latest=_born_latest(horse),
        happened=_happened(orders, yard),
    )


def _born_latest(horse: Horse) -> date | None:
    """Return the last day that the birth can mean: of a year alone, its last day."""
    if horse.born_earliest is None or len(horse.born) != len("2014"):
        return horse.born_earliest
    return date(horse.born_earliest.year, 12, 31)


def _happened(orders: Orders, yard: Yard) -> tuple[breeding.Happened, ...]:
    """Return the breeding events by the yard's days."""
    return tuple(
        breeding.Happened(kind, daytime.local_date(at, yard.time_zone))
        for kind, at in orders.events
    )
