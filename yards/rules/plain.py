"""Values in the one plain form that replays are compared in, and names fit to be repeated."""

from collections.abc import Mapping
from dataclasses import fields
from datetime import UTC, date, datetime, time
from decimal import Decimal
from enum import Enum
from typing import TYPE_CHECKING, Any
from uuid import UUID

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

NAME_AT_MOST = 60


def printable(name: object) -> str:
    """Return a client's own word fit to be said back: one line, short, no hidden characters."""
    text = "".join(each if each.isprintable() else "?" for each in str(name)[: NAME_AT_MOST + 1])
    return text if len(text) <= NAME_AT_MOST else text[: NAME_AT_MOST - 1] + "…"


def decimal_text(value: Decimal) -> str:
    """Return a decimal by its value, without exponent or idle noughts: 4, 0.5, 471."""
    return format(value.normalize() + 0, "f")


def instant_text(at: datetime) -> str:
    """Return an instant in UTC, to the microsecond, so that one instant has one text."""
    return at.astimezone(UTC).isoformat(timespec="microseconds")


def plain(value: Any) -> Any:  # noqa: PLR0911 - one line a kind
    """Return a value as JSON holds it: one form for each instant, day, decimal and id."""
    match value:
        case Enum():
            return plain(value.value)
        case datetime():
            return instant_text(value)
        case date() | time():
            return value.isoformat()
        case Decimal():
            return decimal_text(value)
        case UUID():
            return str(value)
        case Mapping():
            return {str(key): plain(each) for key, each in sorted(value.items())}
        case list() | tuple():
            return [plain(each) for each in value]
        case set() | frozenset():
            return sorted(plain(each) for each in value)
    return value


def content(facts: "DataclassInstance", *, without: frozenset[str]) -> dict[str, Any]:
    """Return a checked input as plain content; what was omitted stands there as its default."""
    names = [each.name for each in fields(facts) if each.name not in without]
    return {name: plain(getattr(facts, name)) for name in names}
