"""What the trend's maths takes: numbers within a range, and instants that name their zone."""

from datetime import datetime


class OutOfRange(ValueError):
    """A number or an instant that cannot be taken: its field, and what would be."""

    def __init__(self, field: str, allowed: str) -> None:
        super().__init__(f"{field}: {allowed}")
        self.field = field
        self.allowed = allowed


def within(field: str, value: float, low: float, high: float) -> float:
    """Return a number between two others, both of them allowed; no NaN ever is.

    Raises OutOfRange.
    """
    if not low <= value <= high:
        raise OutOfRange(field, f"{low:g} to {high:g}")
    return value


def instant(at: datetime) -> float:
    """Return an instant as seconds since 1970 in UTC; raises OutOfRange for one without a zone."""
    if at.tzinfo is None:
        raise OutOfRange("at", "an instant with its zone")
    return at.timestamp()
