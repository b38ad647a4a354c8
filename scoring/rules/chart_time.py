"""The time axis: the months of a yard's calendar that are marked, as far apart as words need."""

import itertools
from collections.abc import Iterator
from datetime import date, datetime, time
from typing import NamedTuple

from scoring.rules.chart_scale import Scale
from yards.rules import daytime

# Months from one tick to the next.
_STEPS = (1, 2, 3, 6, 12, 24, 60, 120)


class Tick(NamedTuple):
    """The first of a month in the yard, and where it lies."""

    on: date
    x: float

    @property
    def is_year(self) -> bool:
        """Whether a year begins."""
        return self.on.month == 1


def scale(first: datetime, last: datetime, left: float, right: float) -> Scale:
    """Return the scale of instants, as seconds since 1970."""
    return Scale(first.timestamp(), last.timestamp(), left, right)


def ticks(first: datetime, last: datetime, zone: str, along: Scale, least: float) -> list[Tick]:
    """Return the months between two instants that are marked, ``least`` apart or more."""
    found: list[Tick] = []
    for step in _STEPS:
        found = list(_months(first, last, zone, along, step))
        gaps = (later.x - each.x for each, later in itertools.pairwise(found))
        if min(gaps, default=least) >= least:
            return found
    return found


def _months(first: datetime, last: datetime, zone: str, along: Scale, step: int) -> Iterator[Tick]:
    start, end = (daytime.local_date(each, zone) for each in (first, last))
    for number in range(start.year * 12 + start.month - 1, end.year * 12 + end.month):
        if number % step == 0:
            on = date(number // 12, number % 12 + 1, 1)
            at = daytime.at_local(on, time.min, zone)
            if first <= at <= last:
                yield Tick(on, along.at(at.timestamp()))
