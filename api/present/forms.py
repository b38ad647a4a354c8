"""The forms that values take in JSON: decimals as strings, times in UTC."""

from collections.abc import Mapping
from datetime import UTC, datetime
from decimal import Decimal
from typing import Protocol
from uuid import UUID


def instant(at: datetime | None) -> str | None:
    """Return an instant as RFC 3339 in UTC, ending in Z, with no more digits than it needs."""
    if at is None:
        return None
    return at.astimezone(UTC).replace(tzinfo=None).isoformat() + "Z"


def ref(value: UUID | None) -> str | None:
    """Return an id as text."""
    return None if value is None else str(value)


def points(value: Decimal | None) -> str | None:
    """Return points with one place, or two where the second is not a nought: 2.0, 2.25."""
    if value is None:
        return None
    text = f"{value:.2f}"
    return text[:-1] if text.endswith("0") else text


def mean(value: Decimal | None) -> str | None:
    """Return an overall with two places: 4.17."""
    return None if value is None else f"{value:.2f}"


def tenths(value: Decimal | None) -> str | None:
    """Return kilograms or centimetres with one place: 471.0."""
    return None if value is None else f"{value:.1f}"


def figure(value: float | None) -> str | None:
    """Return an estimate with two places: levels and rates are known no better."""
    return None if value is None else f"{value:.2f}"


class Spread(Protocol):
    """An estimate with its interval."""

    @property
    def value(self) -> float: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...


def rate(found: Spread | None, unit: str) -> dict[str, object] | None:
    """Return a rate with its interval in a unit, or null."""
    if found is None:
        return None
    return {
        "value": figure(found.value),
        "low": figure(found.low),
        "high": figure(found.high),
        "unit": unit,
    }


def chosen(value: str) -> str | None:
    """Return a choice, or null where none was made."""
    return value or None


def regions(scores: Mapping[str, Decimal | None] | None) -> dict[str, str | None] | None:
    """Return region scores as text; null where it was not safe to palpate."""
    if scores is None:
        return None
    return {region: points(score) for region, score in scores.items()}
