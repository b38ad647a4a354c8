"""The band of one horse as it applied on each day of a time, and why: nothing of today is told of
days before it.

It is the band of ``targets`` and ``rules.band``, asked again for a day with what held on that day:
the yard that the horse then stood in, what it was then kept for, the vet's orders then in force.
Breeding events tell of the days before them too (``breeding.stands``). Edges hold until the next
point, the aim moves there; where anything turned, the day before it and the day itself are points.
"""

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from scoring.queries import targets
from scoring.queries.periods import Period
from scoring.rules import band as bands
from scoring.rules.finding import Message
from yards.models import Horse
from yards.queries import past
from yards.rules import daytime

_DAY = timedelta(days=1)
_A_MOMENT = timedelta(microseconds=1)
# The season moves the aim by less than that in a day; more is a yard with other seasons.
_JUMP = Decimal("0.05")


@dataclass(frozen=True, slots=True)
class BandPoint:
    """The band on one day of the yard; ``key`` is its class and ``why`` what chose that."""

    on: date
    low: Decimal
    aim: Decimal
    high: Decimal
    key: str = ""
    why: Message | None = None

    def turns(self, other: "BandPoint") -> bool:
        """Return whether another band holds on another day: other edges, or for another reason."""
        return (self.low, self.high, self.key) != (other.low, other.high, other.key)


@dataclass(slots=True)
class History:
    """What one horse's band hung on over a time; ``first`` is the first day that is on record."""

    past: past.Past
    through: targets.Through
    scale: str | None
    now: datetime
    _held: dict[date, BandPoint] = field(default_factory=dict)

    @property
    def first(self) -> date:
        """The first day of which a band is known, by the clock of the yard it stands in."""
        return daytime.local_date(self.past.known_from, self._zone)

    @property
    def today(self) -> bands.Band:
        """The band now."""
        horse = self.past.horse
        orders = self.through.at(self.now)
        return targets.band_of(horse, horse.yard, self.now, orders=orders, scale=self.scale)

    @property
    def _zone(self) -> str:
        return self.past.horse.yard.time_zone

    def points(self, period: Period) -> tuple[BandPoint, ...]:
        """Return the days that the band is drawn by: ends, firsts of months, and every turn."""
        first, last = (daytime.local_date(at, self._zone) for at in (period.first, period.last))
        first = max(first, self.first)
        if first > last:
            return ()
        days = {first, last, *_months(first, last)}
        for day in self._turns(first, last):
            before, after = self._on(day - _DAY), self._on(day)
            if before.turns(after) or abs(before.aim - after.aim) > _JUMP:
                days |= {day - _DAY, day}
        for one, other in itertools.pairwise(sorted(days)):
            days |= self._between(one, other)
        return tuple(self._on(day) for day in sorted(days))

    def _turns(self, first: date, last: date) -> Iterator[date]:
        """Yield the days after the first on which something that is on record happened."""
        ends = (row.until for row in self.through.rows if row.until is not None)
        for at in {*self.past.turns, *(row.at for row in self.through.rows), *ends}:
            day = daytime.local_date(at, self._zone)
            if first < day <= last:
                yield day

    def _between(self, one: date, other: date) -> set[date]:
        """Return the day on which age or a month of foal or milk turned it, and the one before."""
        if not self._on(one).turns(self._on(other)):
            return set()
        while (other - one).days > 1:
            middle = one + (other - one) // 2
            if self._on(middle).turns(self._on(one)):
                other = middle
            else:
                one = middle
        return {one, other}

    def _on(self, day: date) -> BandPoint:
        if day not in self._held:
            self._held[day] = self._told(day)
        return self._held[day]

    def _told(self, day: date) -> BandPoint:
        ends = daytime.at_local(day + _DAY, time.min, self._zone) - _A_MOMENT
        # Today is told as it is now, and not as an order that ends this evening will leave it.
        is_today = day == daytime.local_date(self.now, self._zone)
        found = self.at(self.now if is_today else ends)
        why = found.why[0] if found.why else None
        return BandPoint(day, found.low, found.aim, found.high, found.key, why)

    def at(self, at: datetime) -> bands.Band:
        """Return the band at an instant, with what held then."""
        yard, word = self.past.yard_at(at), self.past.word_at(at)
        orders = self.through.looking_back(at, until=word.until)
        facts = replace(
            targets.band_facts(self.past.horse, yard, orders),
            use=self.past.use_at(at),
            breeding=word.said,
        )
        return bands.band(facts, daytime.local_date(at, yard.time_zone), self.scale, at)


def of(horse: Horse, periods: Iterable[Period], scale: str | None, now: datetime) -> History:
    """Return what a horse's band hung on over some periods, in three queries."""
    told = list(periods)
    first = min(each.first for each in told) - _DAY
    last = max(now, *(each.last for each in told)) + _DAY
    through = targets.through([horse.id], first, last).get(horse.id)
    return History(past.of(horse), through or targets.Through(horse.id, ()), scale, now)


def gone_by(
    horse: Horse, through: targets.Through, at: datetime, scale: str | None, now: datetime
) -> bands.Band | None:
    """Return the band at an instant gone by, in two queries; None where no record goes so far.

    ``through`` holds what was in force from then until now.
    """
    history = History(past.of(horse), through, scale, now)
    return history.at(at) if history.past.known_from <= at else None


def _months(first: date, last: date) -> Iterator[date]:
    # A month is counted from nought: each first of a month after the first day.
    months = (each.year * 12 + each.month for each in (first, last))
    for n in range(*months):
        yield date(n // 12, n % 12 + 1, 1)
