"""Units that people read and write; everything is kept in kilograms and centimetres.

The pound is 0.45359237 kg and the inch 2.54 cm, both exactly (international yard and pound
agreement, 1959; NIST Special Publication 811, appendix B). A hand is four inches and is written
hands, a point, inches: 14.2 is 14 hands 2 inches, and 14.3½ stands between (common practice, no
published source).
"""

from collections.abc import Callable, Mapping
from decimal import ROUND_HALF_UP, Decimal

from yards.rules import allowed

KG_PER_LB = Decimal("0.45359237")
CM_PER_IN = Decimal("2.54")
IN_PER_HAND = 4

KG, LB, CM, IN, HANDS = "kg", "lb", "cm", "in", "hands"
WEIGHT = (KG, LB)
LENGTH = (CM, IN)
HEIGHT = (CM, HANDS, IN)
ALL = (KG, LB, CM, IN, HANDS)
_TENTH, _HALF, _ONE = Decimal("0.1"), Decimal("0.5"), Decimal(1)


class Unreadable(ValueError):
    """A text that is no number of the unit."""


def _number(text: str) -> Decimal:
    plain = text.strip()
    if not plain.isascii() or not plain.replace(".", "", 1).isdigit() or len(plain) > 12:
        raise Unreadable(text)
    return Decimal(plain)


def _from_hands(text: str) -> Decimal:
    """Return inches of '14.2', '14.2½' or '14.2 1/2'; a fourth inch is the next hand."""
    plain, half = text.strip().replace(" 1/2", "½"), Decimal(0)
    if plain.endswith("½"):
        plain, half = plain[:-1], _HALF
    whole, _, inches = plain.partition(".")
    if not (whole.isascii() and whole.isdigit() and len(whole) <= 2):
        raise Unreadable(text)
    if inches not in ("", "0", "1", "2", "3"):
        raise Unreadable(text)
    return Decimal(whole) * IN_PER_HAND + Decimal(inches or 0) + half


_INTO: Mapping[str, Callable[[str], Decimal]] = {
    KG: _number,
    CM: _number,
    LB: lambda text: _number(text) * KG_PER_LB,
    IN: lambda text: _number(text) * CM_PER_IN,
    HANDS: lambda text: _from_hands(text) * CM_PER_IN,
}


def stored(text: str, unit: str) -> str:
    """Return a number typed in ``unit`` as kilograms or centimetres, to a tenth.

    What was typed in kilograms or centimetres is returned as it was typed, for the rules to judge.
    Raises Unreadable for what is no number of the unit, OutOfRange for a unit that is none of ours.
    """
    allowed.one_of("unit", unit, ALL)
    if unit in (KG, CM):
        return text
    return str(_INTO[unit](text).quantize(_TENTH, ROUND_HALF_UP))


def shown(value: Decimal, unit: str) -> str:
    """Return kilograms or centimetres in ``unit``, without its name.

    Kilograms and centimetres to a tenth where there is one, pounds to the whole pound, inches to
    the half inch, hands to the half inch: 148 cm is 14.2½ hands. Raises OutOfRange for a unit that
    is none of ours, for what is no finite number, and for a height under nothing in hands.
    """
    allowed.one_of("unit", unit, ALL)
    if not value.is_finite():
        raise allowed.OutOfRange("value", "a finite number")
    if unit == HANDS and value < 0:
        raise allowed.OutOfRange("value", "0 and over, in hands")
    if unit in (KG, CM):
        return _plain(value.quantize(_TENTH, ROUND_HALF_UP))
    if unit == LB:
        return _plain((value / KG_PER_LB).quantize(_ONE, ROUND_HALF_UP))
    halves = int((value / CM_PER_IN * 2).quantize(_ONE, ROUND_HALF_UP))
    if unit == IN:
        return _plain(Decimal(halves) / 2)
    hands, rest = divmod(halves, IN_PER_HAND * 2)
    inches, half = divmod(rest, 2)
    return f"{hands}.{inches}{'½' if half else ''}"


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
