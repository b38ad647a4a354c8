"""Thresholds as data: each with its scale, its source and the limits it may be moved within.

``fixtures/risk_rules.json`` holds the defaults. An organisation may set its own between a least and
a most, and switch rules off, but never the two that protect life; what it set comes in as a mapping
from a threshold's key ("fat.five.overall") to its value, and whatever is missing is the default.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import Any

from yards.rules import fixture, forms
from yards.rules.fields import Reader

HALVES, DAYS = "halves", "days"
AT_LEAST, AT_MOST, MORE_THAN = "at_least", "at_most", "more_than"
SIDES = (AT_LEAST, AT_MOST, MORE_THAN)
UNITS = (HALVES, DAYS, "percent", "points", "kg", "share")
CONFIDENCES = ("read", "secondary", "memory", "ours")
PLACES = 2
# None of its own: every threshold as in the data.
DEFAULTS: Mapping[str, Decimal] = MappingProxyType({})


@cache
def _rules() -> dict[str, dict[str, Any]]:
    return {row["rule"]: row for row in fixture.load("risk_rules")["rules"]}


def rule(name: str) -> dict[str, Any]:
    """Return a rule's row: severity, source, thresholds."""
    return _rules()[name]


def rules() -> tuple[str, ...]:
    """Return the names of all rules, in the order of the data."""
    return tuple(_rules())


def protected() -> frozenset[str]:
    """Return the rules that protect life: never switched off."""
    return frozenset(name for name, row in _rules().items() if row["protects_life"])


@cache
def rows() -> Mapping[str, dict[str, Any]]:
    """Return every threshold's row by its key, "rule.scale.measure"."""
    return {
        f"{name}.{each['scale']}.{each['measure']}": each
        for name, row in _rules().items()
        for each in row["thresholds"]
    }


@dataclass(frozen=True, slots=True)
class Bound:
    """A threshold, in the unit of its row, and which side of it counts."""

    value: Decimal
    side: str
    within_days: int | None = None

    def holds(self, found: Decimal | float | None) -> bool:
        """Return whether a value reaches the threshold; what is not known does not."""
        if found is None:
            return False
        if self.side == AT_MOST:
            return self.value >= found
        return self.value <= found if self.side == AT_LEAST else self.value < found


def bound(own: Mapping[str, Decimal], name: str, scale: str, measure: str) -> Bound | None:
    """Return a rule's threshold on a scale as the organisation has it; None where there is none.

    A value outside the safe limits, however it came there, counts as the nearest within them.
    """
    default = _default(name, scale, measure)
    if default is None or not own:
        return default
    key = f"{name}.{scale}.{measure}"
    row, value = rows()[key], own.get(key, default.value)
    if not value.is_finite():
        return default
    value = min(max(value, Decimal(row["least"])), Decimal(row["most"]))
    return replace(default, value=value)


@cache
def _default(name: str, scale: str, measure: str) -> Bound | None:
    row = rows().get(f"{name}.{scale}.{measure}")
    if row is None:
        return None
    return Bound(Decimal(row["default"]), row["side"], row.get("within_days"))


def required(own: Mapping[str, Decimal], name: str, scale: str, measure: str) -> Bound:
    """Return a threshold that the data must have; KeyError when they do not."""
    found = bound(own, name, scale, measure)
    if found is None:
        raise KeyError(f"{name}.{scale}.{measure}")
    return found


@dataclass(frozen=True, slots=True)
class Own:
    """An organisation's own thresholds, by key, and the rules that it switched off."""

    thresholds: Mapping[str, Decimal] = field(default_factory=dict)
    off: frozenset[str] = frozenset()


def check_thresholds(raw: object) -> Own:
    """Return what an organisation sets: ``thresholds`` by key, ``off`` a list of rules.

    Raises Invalid with every fault: a key that does not exist, a value outside the least and the
    most of its row, a score off the half points, a rule that protects life among those switched
    off.
    """
    reader = Reader(raw)
    inner = reader.inside("thresholds")
    found = {} if inner is None else {key: _value(inner, key) for key in rows() if inner.has(key)}
    off = reader.choices("off", rules())
    if protected() & set(off):
        reader.refuse("off", "never_switched_off")
    reader.finish()
    set_here = {key: value for key, value in found.items() if value is not None}
    return Own(MappingProxyType(set_here), frozenset(off))


def _value(reader: Reader, key: str) -> Decimal | None:
    sent = reader.raw(key)
    if sent is None:  # the default again
        return None
    try:
        return value(sent, rows()[key])
    except forms.Unfit as unfit:
        reader.refuse(key, unfit.key, **unfit.params)
        return None


def value(sent: object, row: Mapping[str, Any]) -> Decimal:
    """Return what was sent as a threshold of a row; raises Unfit outside its least and most."""
    low, high = Decimal(row["least"]), Decimal(row["most"])
    if row["unit"] == DAYS:
        return Decimal(forms.integer(sent, int(low), int(high)))
    found = forms.decimal(sent, low, high, PLACES)
    if row["unit"] == HALVES and (found * 2) % 1:
        raise forms.Unfit("off_the_half_points")
    return found
