"""The months that a herd is looked at by: whole months of the calendar, the last one still running.

A month begins and ends at midnight by the clock of the yard where the horse stands now.
"""

from datetime import date, datetime, time
from typing import NamedTuple

from yards.rules import daytime

YEAR, TWO_YEARS = 12, 24
SPANS = (YEAR, TWO_YEARS)


class Month(NamedTuple):
    """One month of one year."""

    year: int
    number: int

    @property
    def first(self) -> date:
        """Its first day."""
        return date(self.year, self.number, 1)

    def after(self, months: int) -> "Month":
        """Return the month so many after it, or before it."""
        year, number = divmod(self.year * 12 + self.number - 1 + months, 12)
        return Month(year, number + 1)

    def __str__(self) -> str:
        return f"{self.year:04}-{self.number:02}"


def until(today: date, many: int) -> tuple[Month, ...]:
    """Return so many months, oldest first, the last one that of a day."""
    last = Month(today.year, today.month)
    return tuple(last.after(back - many + 1) for back in range(many))


def shows_year(months: tuple[Month, ...], place: int) -> bool:
    """Return whether a month bears its year: each January, and the first unless one is near."""
    near = any(each.number == 1 for each in months[1:4])
    return months[place].number == 1 or (place == 0 and not near)


def bounds(months: tuple[Month, ...], zone: str) -> tuple[datetime, ...]:
    """Return the instant at which each month begins in a zone, and at which the last one ends."""
    days = (*(each.first for each in months), months[-1].after(1).first)
    return tuple(daytime.at_local(day, time.min, zone) for day in days)
