"""What a board asks of each horse today: the group of work it stands in, and its yard's day.

The groups are in the order that work is taken up. ``scoring.queries.board_page`` says the same in
SQL, for horses by the thousand; the tests hold one against the other.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, time, timedelta

from scoring.rules import ladder
from yards.rules import daytime

CALL_THE_VET, DECIDE, ASSESS_TODAY = "call_the_vet", "decide", "assess_today"
WATCHED, NOTHING_TO_DO = "watched", "nothing_to_do"
GROUPS = (CALL_THE_VET, DECIDE, ASSESS_TODAY, WATCHED, NOTHING_TO_DO)
# What somebody has to do something about today, and what is only looked after.
WORK = (CALL_THE_VET, DECIDE, ASSESS_TODAY)

RISING, LEVEL, FALLING, NO_RATE = "rising", "level", "falling", "none"
TRENDS = (RISING, LEVEL, FALLING, NO_RATE)


@dataclass(frozen=True, slots=True)
class Held:
    """What the group hangs on of one unresolved alert; ``is_passed``: its next step's time has.

    ``is_lateness``: it says only that a look is overdue.
    """

    severity: str
    state: str
    is_escalated: bool
    is_passed: bool = False
    is_lateness: bool = False


def is_passed(state: str, by: datetime | None, now: datetime) -> bool:
    """Return whether what somebody took on was to be done by now: it is not settled any more."""
    return state == ladder.ACKNOWLEDGED and by is not None and by < now


def group(alerts: Iterable[Held], *, is_due: bool) -> str:
    """Return the group of a horse: by its unresolved alerts, and whether something is due.

    A next step whose time has passed is to be decided anew, whatever the alert's severity.
    """
    held = tuple(alerts)
    if any(each.severity == ladder.URGENT or each.is_escalated for each in held):
        return CALL_THE_VET
    if any(
        each.is_passed or (each.severity == ladder.ACT and each.state == ladder.OPEN)
        for each in held
    ):
        return DECIDE
    if is_due:
        return ASSESS_TODAY
    return WATCHED if held else NOTHING_TO_DO


# How calm a horse of a group is: an alert nobody has answered, an answered one, lateness at most.
WORRIES, ANSWERED, ONLY_LATE = 0, 1, 2


def calm(group: str, alerts: Iterable[Held]) -> int:
    """Return what orders a group in which horses with alerts stand beside horses without.

    In the other groups all are alike.
    """
    if group not in (ASSESS_TODAY, WATCHED):
        return WORRIES
    told = [each for each in alerts if not each.is_lateness]
    if any(each.state == ladder.OPEN for each in told):
        return WORRIES
    return ANSWERED if told else ONLY_LATE


def late(group: str, days: int) -> int:
    """Return by how many days a horse is late among those to assess today, the latest first.

    ``days`` are from what is due first until today, by the yard's calendar. In the other groups
    something else is graver than a day, so that the name alone orders them.
    """
    return max(0, days) if group == ASSESS_TODAY else 0


def way(rate: float | None, low: float | None, high: float | None) -> str:
    """Return which way a rate goes; one whose 80% interval holds zero is level."""
    if rate is None or low is None or high is None:
        return NO_RATE
    if low <= 0 <= high:
        return LEVEL
    return RISING if rate > 0 else FALLING


def bounds(now: datetime, zone: str) -> tuple[datetime, datetime]:
    """Return the first instants of the zone's day of ``now``, and of the day after.

    Something is due when it falls before the second, overdue when before the first: the same as by
    comparing days on the yard's calendar, told in instants that a database can compare.
    """
    today = daytime.local_date(now, zone)
    first = daytime.at_local(today, time.min, zone)
    return first, daytime.at_local(today + timedelta(days=1), time.min, zone)
