"""The two days of a year that a herd is held against: the end of winter and the end of autumn.

They are the days on which the band's aim is lowest and highest (``band``): the day before a yard's
spring, and the day three calendar months before that. The tropics without a spring have neither.
"""

from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from scoring.rules.herd_months import Month
from yards.rules import daytime, seasons

WINTER, AUTUMN = "winter", "autumn"
ENDS = (WINTER, AUTUMN)
THIS, LAST = "this", "last"
YEARS = (LAST, THIS)
# The usual interval between two scores: everybody who is looked at in time has one on either side.
NEAR = timedelta(days=28)
_DAY = timedelta(days=1)


class End(NamedTuple):
    """The last day of a season in one yard: which season, this year's or last's, and the day."""

    season: str
    year: str
    on: date


class Window(NamedTuple):
    """The instants of a day's end, and of the first and last readings that may tell of it."""

    at: datetime
    first: datetime
    until: datetime


def ends(today: date, hemisphere: str, spring: seasons.Spring | None) -> tuple[End, ...]:
    """Return the last two ends of winter and of autumn that are over; none without seasons."""
    began = seasons.spring_began(today, hemisphere, spring)
    if began is None:
        return ()
    springs = [began]
    while len(springs) < 3:
        earlier = seasons.spring_began(springs[-1] - _DAY, hemisphere, spring)
        springs.append(earlier or springs[-1])
    coming = seasons.next_spring(today, hemisphere, spring) or began
    falls = [_autumn_end(each) for each in (coming, *springs)]
    over = [each for each in falls if each < today][:2]
    return (
        End(WINTER, THIS, springs[0] - _DAY),
        End(WINTER, LAST, springs[1] - _DAY),
        *(End(AUTUMN, year, on) for year, on in zip((THIS, LAST), over, strict=True)),
    )


def _autumn_end(spring: date) -> date:
    """Return the day before the three calendar months of winter that end with a spring's eve."""
    year, number = Month(spring.year, spring.month).after(-3)
    return date(year, number, min(spring.day, 28)) - _DAY


def window(on: date, zone: str) -> Window:
    """Return the end of a day by a yard's clock, and how far off a reading may tell of it."""
    return Window(
        daytime.at_local(on + _DAY, time.min, zone),
        daytime.at_local(on - NEAR, time.min, zone),
        daytime.at_local(on + NEAR + _DAY, time.min, zone),
    )
