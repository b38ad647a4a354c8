"""A yard's day: its date, its six o'clock, its waking hours. All instants go in and out in UTC.

Clocks are put on and back. A local time that a day does not have stands for the next instant that
it does have; a local time that it has twice stands for the first.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

SIX = time(6, 0)
_DAY = timedelta(days=1)
_SECOND = timedelta(seconds=1)


def local_date(at: datetime, zone: str) -> date:
    """Return the day it is in the zone."""
    return at.astimezone(ZoneInfo(zone)).date()


def resolve(local: datetime, zone: ZoneInfo) -> datetime:
    """Return the instant of a local time without offset, as the module says for odd ones."""
    early = local.replace(tzinfo=zone, fold=0)
    instant = early.astimezone(UTC)
    if instant.astimezone(zone).replace(tzinfo=None) == local:
        return instant
    return _end_of_gap(local.replace(tzinfo=zone, fold=1).astimezone(UTC), instant, zone)


def _end_of_gap(before: datetime, after: datetime, zone: ZoneInfo) -> datetime:
    """Return the first whole second of the new offset; the change lies between the two."""
    before, after = before.replace(microsecond=0), after.replace(microsecond=0)
    new = after.astimezone(zone).utcoffset()
    while after - before > _SECOND:
        middle = before + _SECOND * ((after - before) // _SECOND // 2)
        if middle.astimezone(zone).utcoffset() == new:
            after = middle
        else:
            before = middle
    return after


def at_local(on: date, clock: time, zone: str) -> datetime:
    """Return the instant of a time of day on a day in the zone."""
    return resolve(datetime.combine(on, clock), ZoneInfo(zone))


def end_of(on: date, zone: str) -> datetime:
    """Return the last whole second of a day in the zone: what ends then still shows that day."""
    return at_local(on + _DAY, time.min, zone) - _SECOND


def next_local(after: datetime, zone: str, clock: time = SIX) -> datetime:
    """Return the first instant strictly after one at which the zone's clock says ``clock``."""
    on = local_date(after, zone) - _DAY
    while True:
        instant = at_local(on, clock, zone)
        if instant > after:
            return instant
        on += _DAY


def next_six(after: datetime, zone: str) -> datetime:
    """Return the next 06:00 of the zone, when its sweep is due."""
    return next_local(after, zone, SIX)


def is_quiet(at: datetime, zone: str, quiet_from: time | None, quiet_to: time | None) -> bool:
    """Return whether an instant lies in quiet hours: from the first, until before the second.

    They may run over midnight. Without both ends, or with one time for both, there are none.
    """
    return _quiet_until(at, zone, quiet_from, quiet_to) is not None


def _quiet_until(
    at: datetime, zone: str, quiet_from: time | None, quiet_to: time | None
) -> datetime | None:
    """Return the end of the quiet hours that an instant lies in, if it lies in any.

    They are stretches of instants, each from its begin to its end: a clock that is put back past
    an end does not make it quiet again.
    """
    if quiet_from is None or quiet_to is None or quiet_from == quiet_to:
        return None
    today = local_date(at, zone)
    for on in (today - _DAY, today):
        ends_on = on if quiet_from < quiet_to else on + _DAY
        end = at_local(ends_on, quiet_to, zone)
        if at_local(on, quiet_from, zone) <= at < end:
            return end
    return None


def next_waking(
    now: datetime, zone: str, quiet_from: time | None, quiet_to: time | None
) -> datetime:
    """Return now, or the end of the quiet hours that now lies in."""
    return _quiet_until(now, zone, quiet_from, quiet_to) or now


def after_waking(
    start: datetime,
    length: timedelta,
    zone: str,
    quiet_from: time | None,
    quiet_to: time | None,
) -> datetime:
    """Return the instant at which so much time outside quiet hours has passed since the start."""
    if quiet_from is None or quiet_to is None or quiet_from == quiet_to:
        return start + length
    at = next_waking(start, zone, quiet_from, quiet_to)
    while True:
        ends = next_local(at, zone, quiet_from)
        if ends - at >= length:
            return at + length
        length -= ends - at
        at = next_waking(ends, zone, quiet_from, quiet_to)
