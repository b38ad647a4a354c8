"""A page's form as the mapping that a client would send in JSON.

Names with dots become mappings within mappings, blanks fall away, and 'true' and 'false' under the
names given become flags. Nothing is judged here: what does not fit goes on as it was typed, so that
the rules refuse it by name and the form keeps it.
"""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from yards.rules import daytime, forms

_FLAGS = {"true": True, "false": False}


def nested(
    values: Mapping[str, str | Sequence[str]],
    *,
    flags: Collection[str] = (),
    lists: Collection[str] = (),
    times: Collection[str] = (),
    days: Collection[str] = (),
    zone: str = "UTC",
) -> dict[str, object]:
    """Return a form's values as nested raw input.

    ``times`` are names of local times of the zone, written 2026-04-12T09:40;
    ``days`` are names of days that are meant to their end.
    """
    found: dict[str, object] = {}
    for name, value in values.items():
        sent: object = [each for each in value if each] if name in lists else _single(value)
        if sent in ("", []):
            continue
        if name in flags:
            sent = _FLAGS.get(str(sent), sent)
        elif name in times:
            sent = instant_text(str(sent), zone)
        elif name in days:
            sent = last_second_text(str(sent), zone)
        _put(found, name.split("."), sent)
    return found


def _single(value: str | Sequence[str]) -> str:
    return value if isinstance(value, str) else (value[-1] if value else "")


def _put(into: dict[str, object], path: Sequence[str], value: object) -> None:
    for name in path[:-1]:
        inner = into.setdefault(name, {})
        if not isinstance(inner, dict):
            return
        into = inner
    into[path[-1]] = value


def instant_text(typed: str, zone: str) -> str:
    """Return a local time of a zone as RFC 3339, or what was typed where it is no such time."""
    if not typed.isascii():
        return typed
    try:
        local = datetime.fromisoformat(typed)
        if local.tzinfo is not None or "T" not in typed:
            return typed
        return daytime.resolve(local, ZoneInfo(zone)).isoformat()
    except (ValueError, OverflowError):  # the first and last day of the calendar, in another zone
        return typed


def last_second_text(typed: str, zone: str) -> str:
    """Return the end of a day in a zone as RFC 3339, or what was typed where it is no such day."""
    try:
        return daytime.end_of(forms.local_date(typed), zone).isoformat()
    except forms.Unfit:
        return typed
