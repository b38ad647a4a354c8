"""What a form asks: one control each, with its name, its words and its answers."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.translation import gettext

from yards.queries import tastes
from yards.rules import units

Choices = Sequence[tuple[str, str]]
MOMENT, TICKS, FLAG, WEIGHT, HEIGHT, LENGTH = (
    *("moment", "ticks", "flag"),
    *("weight", "height", "length"),
)
# Quantities are typed in the reader's unit, and kept in kilograms and centimetres.
QUANTITIES = frozenset({WEIGHT, HEIGHT, LENGTH})


@dataclass(frozen=True, slots=True)
class Control:
    """One question. ``kind`` is text, area, email, tel, date, time, moment (a local time), pick,
    segments, ticks, flag (one tick, 'true'), or weight, height, length (in the reader's unit).

    ``name`` is the contract's dotted name; ``empty`` the first line of a pick.
    """

    name: str
    label: str
    kind: str = "text"
    hint: str = ""
    choices: Choices = ()
    empty: str = ""
    mode: str = ""


def unit_of(kind: str) -> str:
    """Return the reader's unit for a kind of quantity."""
    now = tastes.current()
    return {WEIGHT: now.weight, HEIGHT: now.height, LENGTH: now.length}[kind]


def quantity(name: str, label: str, kind: str, hint: str = "") -> Control:
    """Return a control for a quantity, labelled with the reader's unit."""
    unit = unit_of(kind)
    named = gettext("{what}, {unit}").format(what=label, unit=tastes.name(unit))
    if unit == units.HANDS and not hint:
        hint = gettext("Hands and inches: 14.2")
    return Control(name, named, kind, hint, mode="" if unit == units.HANDS else "decimal")


def start(kind: str, value: Decimal | None) -> str:
    """Return a stored quantity as the form begins with it."""
    return "" if value is None else units.shown(value, unit_of(kind))


def stored(controls: Iterable[Control], values: Mapping[str, object]) -> dict[str, object]:
    """Return values with every quantity in kilograms or centimetres.

    What is no number of its unit goes on as it was typed, so that the rules refuse it by name.
    """
    found = dict(values)
    for control in controls:
        typed = found.get(control.name)
        if control.kind in QUANTITIES and isinstance(typed, str) and typed.strip():
            try:
                found[control.name] = units.stored(typed, unit_of(control.kind))
            except units.Unreadable:
                # A lone number in another notation must not be read as centimetres.
                found[control.name] = typed if not typed.strip().isascii() else f"{typed} ?"
    return found
