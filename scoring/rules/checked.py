"""What the trend's maths takes: numbers within a range, and instants that name their zone."""

import math
from datetime import datetime

from yards.rules.allowed import OutOfRange


def within(field: str, value: float, low: float, high: float) -> float:
    """Return a number between two others, both of them allowed; no NaN ever is, nor what is none.

    Raises OutOfRange.
    """
    try:
        if low <= value <= high:
            return value
    except (TypeError, ValueError, ArithmeticError):  # text, nothing, a table, a decimal NaN
        pass
    raise OutOfRange(field, f"{low:g} to {high:g}")


def whole(field: str, value: int, low: int, high: int) -> int:
    """Return a whole number between two others, both of them allowed; raises OutOfRange."""
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise OutOfRange(field, f"a whole number from {low} to {high}")
    return value


def finite(field: str, value: float) -> float:
    """Return a number that is neither infinite nor NaN; raises OutOfRange."""
    try:
        if math.isfinite(value):
            return value
    except (TypeError, ValueError, OverflowError):  # text, nothing, a signalling NaN, a giant
        pass
    raise OutOfRange(field, "a finite number")


def instant(at: datetime) -> float:
    """Return an instant as seconds since 1970 in UTC; raises OutOfRange for one without a zone."""
    if at.tzinfo is None:
        raise OutOfRange("at", "an instant with its zone")
    return at.timestamp()


__all__ = ["OutOfRange", "finite", "instant", "whole", "within"]
