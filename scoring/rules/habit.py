"""Whether a weighing breaks its series' habit: hour, feed, instrument, formula, side or place.

Gut fill moves a weight within a day, tapes differ, and so do the places they lie on: a reading that
was taken otherwise than those before it may show a change that the animal has not made. It stands;
the warning says why it may not be comparable. How much is a habit: ``fixtures/tape.json``, ours.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from scoring.rules import tape
from yards.rules.errors import FieldError

_DAY = timedelta(days=1)


class NoClock(ValueError):
    """A time without its zone: its hour of the day cannot be told."""


@dataclass(frozen=True, slots=True)
class Taken:
    """How one weighing was taken; empty where it was not noted, ``instrument`` None."""

    at: datetime
    method: str
    instrument: Hashable | None = None
    formula: str = ""
    side: str = ""
    position: str = ""
    fed: str = ""


def breaks(new: Taken, earlier: Iterable[Taken], zone: tzinfo) -> tuple[FieldError, ...]:
    """Return a warning for each way in which a weighing differs from those before it.

    ``earlier`` in any order; what is not before ``new`` or too long before is left out. Hours of
    the day are those of ``zone``. Hour and feed are held against every weighing, instrument,
    formula, side and place against those by the same method. What was not noted breaks nothing;
    with fewer than three there is no habit. Raises NoClock for a time without a zone.
    """
    limits = tape.habit()
    before = [each for each in earlier if _is_before(each, new, limits.span)]
    before = sorted(before, key=lambda each: each.at)[-limits.newest :]
    alike = [each for each in before if each.method == new.method]
    found = (
        _hour(new, before, zone),
        _other("fed", "fed", new, before, lambda each: each.fed),
        _instrument(new, alike),
        _other("formula", "formula", new, alike, lambda each: each.formula),
        _other("tape_side", "side", new, alike, lambda each: each.side),
        _other("tape_position", "position", new, alike, lambda each: each.position),
    )
    return tuple(each for each in found if each is not None)


def _is_before(each: Taken, new: Taken, span: timedelta) -> bool:
    if each.at.tzinfo is None or new.at.tzinfo is None:
        raise NoClock(f"{each.at.isoformat()}, {new.at.isoformat()}")
    return timedelta(0) < new.at - each.at <= span


def _usual(values: Sequence[Hashable]) -> Hashable | None:
    """Return the value that is a habit among those noted, or None."""
    limits = tape.habit()
    noted = [each for each in values if each not in (None, "")]
    if len(noted) < limits.fewest:
        return None
    value, times = Counter(noted).most_common(1)[0]
    return value if times >= limits.share * len(noted) else None


def _other(
    field: str,
    name: str,
    new: Taken,
    before: Sequence[Taken],
    of: Callable[[Taken], str],
) -> FieldError | None:
    usual, now = _usual([of(each) for each in before]), of(new)
    if usual is None or now in ("", usual):
        return None
    return FieldError(field, f"habit_{name}", {name: str(usual)})


def _instrument(new: Taken, before: Sequence[Taken]) -> FieldError | None:
    """Return a warning for another tape or scales, and for none named where one always is."""
    usual = _usual([each.instrument for each in before])
    if usual is None or new.instrument == usual:
        return None
    named = new.instrument is not None
    return FieldError("instrument", "habit_instrument" if named else "habit_instrument_unnamed")


def _hour(new: Taken, before: Sequence[Taken], zone: tzinfo) -> FieldError | None:
    """Return a warning for another hour; round the clock, so that 23:30 is near 00:30."""
    limits = tape.habit()
    hours = [_of_day(each.at, zone) for each in before]
    if len(hours) < limits.fewest:
        return None
    middle = min(hours, key=lambda hour: sum(_apart(hour, hours), timedelta(0)))
    near = sum(gap <= limits.hours for gap in _apart(middle, hours))
    now = _of_day(new.at, zone)
    if near < limits.share * len(hours) or next(_apart(now, [middle])) <= limits.hours:
        return None
    minutes = round(middle / timedelta(minutes=1)) % (24 * 60)
    usual = f"{minutes // 60:02}:{minutes % 60:02}"
    return FieldError("taken_at", "habit_hour", {"hour": usual})


def _of_day(at: datetime, zone: tzinfo) -> timedelta:
    local = at.astimezone(zone)
    return timedelta(hours=local.hour, minutes=local.minute, seconds=local.second)


def _apart(hour: timedelta, others: Iterable[timedelta]) -> Iterator[timedelta]:
    for other in others:
        gap = abs(hour - other)
        yield min(gap, _DAY - gap)
