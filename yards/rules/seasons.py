"""Seasons by the calendar: whole months, by hemisphere, or with a yard's own spring.

Meteorological seasons, as the Met Office uses them: in the north spring is March to May, summer
June to August, autumn September to November, winter December to February; in the south six months
apart. The tropics may have none. A yard may set its own first and last day of spring; it may wrap
the year. 29 February as an end stands for 1 March as a first and 28 February as a last day in years
that have none; as both ends it is one day, 1 March in those years.

Every function raises OutOfRange for a hemisphere that is none of the list, and for a day whose
neighbouring years Python's calendar does not have.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from functools import lru_cache
from typing import Final

from yards.rules import allowed

NORTH, SOUTH, NONE = "north", "south", "none"
HEMISPHERES = (NORTH, SOUTH, NONE)
FIRST_YEAR, LAST_YEAR = 2, 9998
_DAY = timedelta(days=1)
_LEAP_YEAR = 2000


class Season(StrEnum):
    """A season, in the year's order from spring on."""

    SPRING = "spring"
    SUMMER = "summer"
    AUTUMN = "autumn"
    WINTER = "winter"


_ORDER = tuple(Season)
_FIRST_MONTH: Final = {NORTH: 3, SOUTH: 9}


@dataclass(frozen=True, slots=True)
class Spring:
    """A spring's first and last day of any year, "MM-DD", both included.

    Raises OutOfRange for what is no day of a year.
    """

    first: str
    last: str

    def __post_init__(self) -> None:
        for name, written in (("first", self.first), ("last", self.last)):
            if not _is_month_day(written):
                raise allowed.OutOfRange(f"spring.{name}", "01-01 to 12-31, month-day")


@lru_cache(maxsize=1024)
def _is_month_day(written: str) -> bool:
    try:
        return f"{date.fromisoformat(f'{_LEAP_YEAR}-{written}'):%m-%d}" == written
    except ValueError:
        return False


METEOROLOGICAL: Final = {NORTH: Spring("03-01", "05-31"), SOUTH: Spring("09-01", "11-30")}


@dataclass(frozen=True, slots=True)
class NamedSeason:
    """One season of one year: "spring 2026", or "winter 2026/27" when it spans two."""

    season: Season
    years: str

    def __str__(self) -> str:
        return f"{self.season} {self.years}"


def spring_of(first: str, last: str) -> Spring | None:
    """Return a yard's own spring from its two columns, or None when they are empty."""
    return Spring(first, last) if first and last else None


def spring_held(hemisphere: str, spring: Spring | None = None) -> Spring | None:
    """Return a yard's own spring, else its hemisphere's; None where there is none."""
    allowed.one_of("hemisphere", hemisphere, HEMISPHERES)
    return spring if spring is not None else METEOROLOGICAL.get(hemisphere)


def _spring(on: date, hemisphere: str, spring: Spring | None) -> Spring | None:
    """Return the spring that holds, of what the calendar and the list of hemispheres have."""
    with_neighbours(on)
    return spring_held(hemisphere, spring)


def with_neighbours(on: date) -> date:
    """Return a day whose years before and after the calendar has; raises OutOfRange."""
    if not FIRST_YEAR <= on.year <= LAST_YEAR:
        raise allowed.OutOfRange("on", f"a day of the years {FIRST_YEAR} to {LAST_YEAR}")
    return on


def _has_leap_day(year: int) -> bool:
    return year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)


def _first_in(year: int, spring: Spring) -> date:
    if spring.first == "02-29" and not _has_leap_day(year):
        return date(year, 3, 1)
    return date(year, int(spring.first[:2]), int(spring.first[3:]))


def _last_in(year: int, spring: Spring) -> date:
    if spring.last == "02-29" and not _has_leap_day(year):
        return _first_in(year, spring) if spring.first == spring.last else date(year, 2, 28)
    return date(year, int(spring.last[:2]), int(spring.last[3:]))


def in_spring(on: date, hemisphere: str, spring: Spring | None = None) -> bool:
    """Return whether a local date lies in the yard's spring."""
    found = _spring(on, hemisphere, spring)
    if found is None:
        return False
    first, last = _first_in(on.year, found), _last_in(on.year, found)
    if found.first <= found.last:
        return first <= on <= last
    return on >= first or on <= last


def is_first_day_of_spring(on: date, hemisphere: str, spring: Spring | None = None) -> bool:
    """Return whether the yard's spring begins on this local date."""
    found = _spring(on, hemisphere, spring)
    return found is not None and on == _first_in(on.year, found)


def spring_began(on: date, hemisphere: str, spring: Spring | None = None) -> date | None:
    """Return the latest first day of spring on or before a date, or None where there is none."""
    found = _spring(on, hemisphere, spring)
    if found is None:
        return None
    first = _first_in(on.year, found)
    return first if first <= on else _first_in(on.year - 1, found)


def next_spring(on: date, hemisphere: str, spring: Spring | None = None) -> date | None:
    """Return the first day of the next spring, strictly after a date, or None."""
    found = _spring(on, hemisphere, spring)
    if found is None:
        return None
    first = _first_in(on.year, found)
    return first if first > on else _first_in(on.year + 1, found)


def season(on: date, hemisphere: str, spring: Spring | None = None) -> Season | None:
    """Return the season of a local date, or None in the tropics.

    A yard's own spring takes its days from the neighbours; days of the calendar's spring that it
    leaves out go to winter before it and to summer after it.
    """
    if in_spring(on, hemisphere, spring):
        return Season.SPRING
    month = _FIRST_MONTH.get(hemisphere)
    if month is None:
        return None
    by_calendar = _ORDER[(on.month - month) % 12 // 3]
    if by_calendar is not Season.SPRING:
        return by_calendar
    began, begins = spring_began(on, hemisphere, spring), next_spring(on, hemisphere, spring)
    if began is None or begins is None:
        return by_calendar
    return Season.WINTER if begins - on < on - _end_after(began, spring) else Season.SUMMER


def _end_after(began: date, spring: Spring | None) -> date:
    if spring is None:
        return began
    last = _last_in(began.year, spring)
    return last if last >= began else _last_in(began.year + 1, spring)


def named(on: date, hemisphere: str, spring: Spring | None = None) -> NamedSeason | None:
    """Return the season of a local date with its year or years, as a record labels it.

    A spring counts from its own first day, be it as long as the year.
    """
    found = season(on, hemisphere, spring)
    if found is None:
        return None
    first = last = on
    if found is Season.SPRING:
        first = spring_began(on, hemisphere, spring) or on
        last = max(on, _end_after(first, _spring(on, hemisphere, spring)))
    else:
        first, last = _run(on, -_DAY, hemisphere, spring), _run(on, _DAY, hemisphere, spring)
    years = str(first.year)
    if last.year != first.year:
        years = f"{first.year}/{last.year % 100:02d}"
    return NamedSeason(found, years)


def _run(on: date, step: timedelta, hemisphere: str, spring: Spring | None) -> date:
    """Return the furthest day, at most a year away, until which a day's season runs on."""
    found = season(on, hemisphere, spring)
    for _ in range(366):
        beyond = on + step
        is_known = FIRST_YEAR <= beyond.year <= LAST_YEAR
        if not is_known or season(beyond, hemisphere, spring) is not found:
            break
        on = beyond
    return on
