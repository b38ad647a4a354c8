"""Where a record has a hole: more days between two readings than anybody should leave."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

# Our own choice: twice the month that a horse of no concern is scored in.
MOST = timedelta(days=61)


@dataclass(frozen=True, slots=True)
class Gap:
    """No reading between two instants."""

    since: datetime
    until: datetime

    @property
    def days(self) -> int:
        """How many whole days."""
        return (self.until - self.since).days


def gaps(taken: Iterable[datetime], until: datetime) -> tuple[Gap, ...]:
    """Return the gaps of over ``MOST`` between readings, and after the last, oldest first.

    Readings after ``until`` do not count; without any there is no gap, only no record.
    """
    times = sorted(each for each in taken if each <= until)
    ends = [*times[1:], until]
    return tuple(
        Gap(one, other) for one, other in zip(times, ends, strict=False) if other - one > MOST
    )
