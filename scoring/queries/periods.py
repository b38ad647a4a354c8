"""A stretch of time that a trend is told of, and how finely a line is drawn through it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from yards.rules import errors
from yards.rules.errors import FieldError

# As far back as is told unless somebody asks for more, and as fine as a line needs to be.
USUAL = timedelta(days=731)
LONGEST = timedelta(days=366 * 40)
FINEST, MOST_POINTS = timedelta(days=7), 400


class Asked(NamedTuple):
    """A measure, and the times between which it is told."""

    measure: str
    since: datetime
    until: datetime


@dataclass(frozen=True, slots=True)
class Period:
    """From ``first`` to ``last``, looked at ``now``; raises Invalid the wrong way round."""

    first: datetime
    last: datetime
    now: datetime

    def __post_init__(self) -> None:
        if not self.first < self.last <= self.first + LONGEST:
            raise errors.Invalid(FieldError("from", "period_the_wrong_way_round", {"years": 40}))

    def holds(self, at: datetime) -> bool:
        """Return whether a time lies in the period, its ends included."""
        return self.first <= at <= self.last

    def grid(self) -> Iterator[datetime]:
        """Yield the times that a line is drawn through, besides those of readings."""
        step = max(FINEST, (self.last - self.first) / MOST_POINTS)
        at = self.first
        while at <= min(self.last, self.now):
            yield at
            at += step
