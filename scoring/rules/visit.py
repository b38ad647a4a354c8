"""A vet's visit: since when things are told, and how far a level went in that time.

A day stands for its beginning in the yard's zone: what was recorded on the day of the last visit is
told again, since nothing says whether the vet had gone by then.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from scoring.rules import chart_change, outlook, smoothing
from scoring.rules.outlook import Span
from yards.rules import daytime, forms
from yards.rules.errors import FieldError

# Without a visit on record so many days are told; an order's end is told so many days before.
USUAL_DAYS, SOON_DAYS = 28, 14
# A day asked for lies no further back: no visit plan does, and what is read stays bounded.
LONGEST_DAYS = 730

ASKED, LAST_VISIT, NO_VISIT = "asked", "last_visit", "no_visit"
NOTHING_SINCE = "no_reading_since"


@dataclass(frozen=True, slots=True)
class Since:
    """The day from whose beginning changes are told, and why that day."""

    on: date
    at: datetime
    why: str


def since(asked: date | None, last: datetime | None, now: datetime, zone: str) -> Since:
    """Return since when a yard's changes are told: the day asked for, else of the last visit."""
    if asked is not None:
        return _from(asked, ASKED, zone)
    if last is not None:
        return _from(daytime.local_date(last, zone), LAST_VISIT, zone)
    usual = daytime.local_date(now, zone) - timedelta(days=USUAL_DAYS)
    return _from(usual, NO_VISIT, zone)


def _from(on: date, why: str, zone: str) -> Since:
    return Since(on, daytime.at_local(on, time.min, zone), why)


def soon(now: datetime, zone: str) -> datetime:
    """Return until when an end is soon: through the day two weeks from today, by the zone's days.

    An order is given until the end of a day, so one of two weeks from today ends soon at once.
    """
    return daytime.end_of(daytime.local_date(now, zone) + timedelta(days=SOON_DAYS), zone)


def asked_day(text: str, today: date) -> tuple[date | None, FieldError | None]:
    """Return the day that an address asks for, or what is wrong with it; neither where none is."""
    if not text.strip():
        return None, None
    try:
        on = forms.local_date(text)
    except forms.Unfit as unfit:
        return None, FieldError("since", unfit.key, unfit.params)
    if on > today:
        return None, FieldError("since", "in_the_future")
    if on < today - timedelta(days=LONGEST_DAYS):
        return None, FieldError("since", "too_long_before", {"days": LONGEST_DAYS})
    return on, None


@dataclass(frozen=True, slots=True)
class Change:
    """How a level went from a time to its newest reading, in points or in kilograms.

    All intervals are 80%. Where nothing can be told ``reason`` is the key of why, and the rest is
    None; ``begun`` is when a line begins anew that is not compared with the one before.
    """

    reason: str = ""
    first: datetime | None = None
    last: datetime | None = None
    before: Span | None = None
    after: Span | None = None
    gone: Span | None = None
    begun: datetime | None = None

    @property
    def is_level(self) -> bool:
        """Whether the interval of the change holds none at all: then no difference is said."""
        return self.gone is not None and self.gone.low <= 0 <= self.gone.high


def of_score(lines: Sequence[smoothing.Line], start: datetime) -> Change:
    """Return how a score went since a time, by lines smoothed with a point at that time."""
    return _change(lines, start, is_weight=False)


def of_weight(lines: Sequence[smoothing.Line], start: datetime) -> Change:
    """Return how a weight went, in kilograms, by lines of its logarithm."""
    return _change(lines, start, is_weight=True)


def _change(lines: Sequence[smoothing.Line], start: datetime, *, is_weight: bool) -> Change:
    if not lines:
        return Change(NOTHING_SINCE)
    line = lines[-1]
    read = [each for each in line.points if each.read]
    if read[-1].at < start:
        return Change(NOTHING_SINCE)
    if len(lines) > 1 and read[0].at > start:
        return Change(line.reason, begun=read[0].at)
    if line.lacking:
        return Change(line.lacking)
    first = next(each for each in line.points if each.at >= start)
    last = read[-1]
    if first.at == last.at:
        return Change(outlook.NOT_ENOUGH)
    gone = chart_change.between(first, last)
    if is_weight:
        gone = chart_change.of_weight(gone, math.exp(first.level.value))
    return Change(
        "",
        first.at,
        last.at,
        _told(first.level, line.series, is_weight),
        _told(last.level, line.series, is_weight),
        gone,
    )


def _told(level: Span, series: str, is_weight: bool) -> Span:
    return outlook.kilograms(level) if is_weight else outlook.on_scale(level, series)
