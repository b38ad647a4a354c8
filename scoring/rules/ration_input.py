"""What the rules of energy and rations take: finite numbers within a range, words of a list.

Raises Invalid with the field and the allowed range, as input comes from people.
"""

import math
from collections.abc import Collection
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from yards.rules import errors
from yards.rules.errors import FieldError

Value = Decimal | float | int
# Grown horses from the smallest miniature to the heaviest draught; ours. The tables print 200 to
# 900 kg.
WEIGHT_KG = (Decimal(50), Decimal(1500))
# Days that an animal of ours may have been weighed on; ours.
DAYS = (date(1900, 1, 1), date(2999, 12, 31))


def number(field: str, value: Value, low: Decimal, high: Decimal) -> Decimal:
    """Return a number from low to high, both allowed, as a Decimal of what it is written as."""
    if isinstance(value, bool) or not isinstance(value, Decimal | float | int):
        raise errors.Invalid(FieldError(field, "not_a_number"))
    try:
        is_finite = math.isfinite(value)
    except (OverflowError, ValueError):  # an integer beyond every float; a signalling NaN
        is_finite = False
    if not is_finite:
        raise errors.Invalid(FieldError(field, "not_a_number"))
    found = Decimal(str(value))
    if not low <= found <= high:
        raise out_of_range(field, low, high)
    return found


def out_of_range(
    field: str, low: Decimal | int | date, high: Decimal | int | date
) -> errors.Invalid:
    """Return the refusal of a value that lies outside a range."""
    return errors.Invalid(FieldError(field, "out_of_range", {"low": str(low), "high": str(high)}))


def weight(value: Value) -> Decimal:
    """Return a grown animal's weight in kilograms, 50 to 1500."""
    return number("weight_kg", value, *WEIGHT_KG)


def whole(field: str, value: int, low: int, high: int) -> int:
    """Return a whole number from low to high, both allowed."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise errors.Invalid(FieldError(field, "not_a_whole_number"))
    if not low <= value <= high:
        raise out_of_range(field, low, high)
    return value


def choice(field: str, value: str, choices: Collection[str]) -> str:
    """Return a word of a closed list."""
    if not isinstance(value, str) or value not in choices:
        named = " | ".join(choices)
        raise errors.Invalid(FieldError(field, "not_a_choice", {"choices": named}))
    return value


def day(field: str, value: date) -> date:
    """Return a plain day of ``DAYS``; an instant is none, its day depends on the zone."""
    if type(value) is not date:
        raise errors.Invalid(FieldError(field, "not_a_date"))
    if not DAYS[0] <= value <= DAYS[1]:
        raise out_of_range(field, *DAYS)
    return value


def rounded(value: Decimal, step: str) -> Decimal:
    """Return a value to a step, "0.1" or "1", half up as printed tables round."""
    return value.quantize(Decimal(step), ROUND_HALF_UP)
