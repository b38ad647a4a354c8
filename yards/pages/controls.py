"""What a form asks: one control each, with its name, its words and its answers."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from django.utils.translation import gettext

from yards.queries import tastes
from yards.rules import units
from yards.rules.errors import FieldError

Choices = Sequence[tuple[str, str]]
MOMENT, LAST_DAY, TICKS, FLAG, WEIGHT, HEIGHT, LENGTH = (
    *("moment", "last_day", "ticks", "flag"),
    *("weight", "height", "length"),
)
# Quantities are typed in the reader's unit, and kept in kilograms and centimetres.
QUANTITIES = frozenset({WEIGHT, HEIGHT, LENGTH})
_KEPT_IN = (units.KG, units.CM)


@dataclass(frozen=True, slots=True)
class Control:
    """One question. ``kind`` is text, area, email, tel, date, time, moment (a local time), last_day
    (a day, meant to its end), pick, segments, ticks, flag (one tick, 'true'), or weight, height,
    length (in the reader's unit).

    ``name`` is the contract's dotted name; ``empty`` the first line of a pick; ``kept`` is what the
    field shows of a value that stands, and that value: sent back as shown, it stays to the last
    digit.
    """

    name: str
    label: str
    kind: str = "text"
    hint: str = ""
    choices: Choices = ()
    empty: str = ""
    mode: str = ""
    kept: tuple[str, str] | None = None

    @property
    def unit(self) -> str:
        """The reader's unit of a quantity; it goes along, since settings may change meanwhile."""
        return unit_of(self.kind) if self.kind in QUANTITIES else ""


def unit_of(kind: str) -> str:
    """Return the reader's unit for a kind of quantity."""
    now = tastes.current()
    return {WEIGHT: now.weight, HEIGHT: now.height, LENGTH: now.length}[kind]


def quantity(
    name: str, label: str, kind: str, hint: str = "", kept: Decimal | None = None
) -> Control:
    """Return a control for a quantity, labelled with the reader's unit."""
    unit = unit_of(kind)
    named = gettext("{what}, {unit}").format(what=label, unit=tastes.name(unit))
    if unit == units.HANDS and not hint:
        hint = gettext("Hands and inches: 14.2")
    mode = "" if unit == units.HANDS else "decimal"
    stands = None if kept is None else (start(kind, kept), str(kept))
    return Control(name, named, kind, hint, mode=mode, kept=stands)


def moment(name: str, label: str, zone: str, kept: datetime | None = None) -> Control:
    """Return a control for a local time of a zone."""
    hint = gettext("Yard time, {zone}").format(zone=zone)
    stands = None if kept is None else (local(kept.astimezone(ZoneInfo(zone))), kept.isoformat())
    return Control(name, label, MOMENT, hint, kept=stands)


def last_day(name: str, label: str, zone: str) -> Control:
    """Return a control for the last day of something, which lasts to its end in a zone."""
    hint = gettext("To the end of that day, yard time, {zone}").format(zone=zone)
    return Control(name, label, LAST_DAY, hint)


def local(at: datetime) -> str:
    """Return a local time as a field of that kind begins with it."""
    return at.strftime("%Y-%m-%dT%H:%M")


def start(kind: str, value: Decimal | None) -> str:
    """Return a stored quantity as the form begins with it."""
    return "" if value is None else units.shown(value, unit_of(kind))


def stored(controls: Iterable[Control], values: Mapping[str, object]) -> dict[str, object]:
    """Return values as they are kept: quantities in kilograms or centimetres.

    What is no number of its unit goes on as it was typed, so that the rules refuse it by name.
    """
    found = dict(values)
    for control in controls:
        unit = _unit(control, found.pop(f"unit.{control.name}", ""))
        typed = found.get(control.name)
        if not isinstance(typed, str) or not typed.strip():
            continue
        if control.kept is not None and typed.strip() == control.kept[0]:
            found[control.name] = control.kept[1]
        elif unit:
            found[control.name] = _stored(typed, unit)
    return found


def _unit(control: Control, sent: object) -> str:
    known = {WEIGHT: units.WEIGHT, HEIGHT: units.HEIGHT, LENGTH: units.LENGTH}
    return str(sent) if sent in known.get(control.kind, ()) else control.unit


def _stored(typed: str, unit: str) -> str:
    try:
        return units.stored(typed, unit)
    except units.Unreadable:
        # A number in another notation must not be read as kilograms or centimetres.
        return f"{typed} ?"


def retold(controls: Iterable[Control], faults: Iterable[FieldError]) -> list[FieldError]:
    """Return faults with what they say of quantities in the reader's unit."""
    asked = tuple(controls)
    by_name = {each.name: each.unit for each in asked if each.unit not in ("", *_KEPT_IN)}
    days = {each.name for each in asked if each.kind == LAST_DAY}
    return [
        FieldError(each.field, "not_a_date")
        if each.key == "not_an_instant" and each.field in days
        else _retold(each, by_name.get(each.field, ""))
        for each in faults
    ]


def _retold(fault: FieldError, unit: str) -> FieldError:
    if unit and fault.key == "not_a_number":
        return FieldError(fault.field, f"not_in_{unit}")
    if unit and fault.key == "out_of_range":
        ends = {
            name: units.shown(Decimal(str(value)), unit) for name, value in fault.params.items()
        }
        return FieldError(fault.field, fault.key, ends)
    return fault
