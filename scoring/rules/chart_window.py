"""Which stretch of time a drawing shows: three months, one year, two, all, or between two days."""

from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from yards.rules import daytime

QUARTER, YEAR, TWO_YEARS, ALL, OWN = "3m", "1y", "2y", "all", "own"
LENGTHS = {QUARTER: timedelta(days=92), YEAR: timedelta(days=365), TWO_YEARS: timedelta(days=731)}
KEYS = (*LENGTHS, ALL)
# What is still a window, and how far it may reach.
SHORTEST, LONGEST = timedelta(days=14), timedelta(days=366 * 39)
# How much of what is to come is seen beside so much of what was.
AHEAD, SHORT_AHEAD = timedelta(days=42), timedelta(days=21)
_A_DAY = timedelta(days=1)
# A window that ends in the past ends as its last day does, at the next one's midnight.
A_MOMENT = timedelta(seconds=1)


class Asked(NamedTuple):
    """What somebody asked to see; days are the yard's, None where none was said."""

    key: str = YEAR
    since: date | None = None
    until: date | None = None


class Window(NamedTuple):
    """From ``first`` to ``last`` on the axis; readings are seen up to ``until``, now or earlier."""

    key: str
    first: datetime
    until: datetime
    last: datetime

    @property
    def is_now(self) -> bool:
        """Whether it reaches to now, so that what is to come is seen too."""
        return self.last > self.until


def asked(key: str, since: str, until: str) -> Asked:
    """Return what was asked by words of an address; what cannot be read is as if not said."""
    first, last = _day(since), _day(until)
    if first is not None:
        return Asked(OWN, first, last)
    return Asked(key if key in KEYS else YEAR, None, last)


def _day(told: str) -> date | None:
    try:
        found = date.fromisoformat(told)
    except ValueError:
        return None
    return found if date(1970, 1, 1) <= found <= date(9000, 1, 1) else None


def of(wanted: Asked, *, earliest: datetime | None, now: datetime, zone: str) -> Window:
    """Return the window; ``earliest`` is the first of all readings."""
    until = now
    if wanted.until is not None and wanted.until < daytime.local_date(now, zone):
        until = daytime.at_local(wanted.until + _A_DAY, time.min, zone)
    key, first = wanted.key, until - LENGTHS.get(wanted.key, LENGTHS[YEAR])
    if key == ALL and earliest is not None:
        first = min(earliest - _A_DAY, until - LENGTHS[QUARTER])
    elif key == OWN and wanted.since is not None:
        first = daytime.at_local(wanted.since, time.min, zone)
    if until - first < SHORTEST:
        key, first = YEAR, until - LENGTHS[YEAR]
    first = max(first, until - LONGEST)
    ahead = AHEAD if until - first > 2 * LENGTHS[QUARTER] else SHORT_AHEAD
    return Window(key, first, until, until + ahead if until == now else until)


def earlier(found: Window, zone: str) -> date:
    """Return the last day of the window half its length back."""
    return daytime.local_date(found.until - A_MOMENT - (found.until - found.first) / 2, zone)


def later(found: Window, now: datetime, zone: str) -> date | None:
    """Return the last day of the window half its length on; None: that is today's."""
    when = found.until - A_MOMENT + (found.until - found.first) / 2
    return None if when >= now else daytime.local_date(when, zone)
