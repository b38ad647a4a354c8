"""The days of an invented past, step after step in the order of time, and what falls due between.

Each step is one call of a real action, at its own instant. Nothing later than now is played.
"""

import heapq
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta

from scoring.actions import seeding
from yards.rules.roles import Viewer

DAY = timedelta(days=1)
# Returns whether it may have made anything due: timers, messages, alerts.
Do = Callable[[datetime], bool]


class Days:
    """What is to happen between two instants."""

    def __init__(self, system: Viewer, *, began: datetime, now: datetime) -> None:
        self.system, self.began, self.now = system, began, now
        self._today = now.replace(hour=0, minute=0, second=0, microsecond=0)
        self._steps: list[tuple[datetime, int, Do]] = []
        self._count = 0
        self._due: datetime | None = None

    @property
    def length(self) -> int:
        """How many days there are."""
        return (self.now - self.began).days

    def day(self, days_ago: int) -> datetime:
        """Return the beginning of a day."""
        return self._today - days_ago * DAY

    def plan(self, at: datetime, do: Do) -> None:
        """Let something happen at an instant, unless that is still to come."""
        if at <= self.now:
            self._count += 1
            heapq.heappush(self._steps, (at, self._count, do))

    def play(self) -> Iterator[datetime]:
        """Do every step, what falls due before it first; yield when something may be due anew."""
        while self._steps:
            fell_due = self._fell_due(self._steps[0][0])
            if fell_due is not None:
                yield fell_due
                continue
            at, _number, do = heapq.heappop(self._steps)
            if do(at):
                self._due = seeding.next_due(self.system)
                yield at
        while (last := self._fell_due(self.now)) is not None:
            yield last

    def _fell_due(self, until: datetime) -> datetime | None:
        """Let the first timers that fall due by an instant be done, and return when that was."""
        while self._due is not None and self._due <= until:
            at = self._due
            ran = seeding.run_timers(self.system, until=at)
            self._due = seeding.next_due(self.system)
            if ran:
                return at
        return None
