"""A risk rule as an organisation, a yard or a horse has it: thresholds of its own, or switched off.

Raw input in, a checked change or exception out, all faults at once. Values lie within the least and
most of ``fixtures/risk_rules.json``; a rule that protects life is never switched off, and its
limits let it find sooner only. ``thresholds`` are sent by scale and measure.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from types import MappingProxyType
from typing import Any
from uuid import UUID

from scoring.rules import risk, threshold
from yards.rules import forms, plain
from yards.rules.fields import Reader, given

REASON_MOST = 500
VERSION_MOST = 2**31 - 1
# A year at most: then somebody decides anew.
LONGEST = timedelta(days=366)
# Whose a threshold is: the data's default, the organisation's, the yard's, the horse's.
DEFAULT, HOUSE, YARD, HORSE = "default", "house", "yard", "horse"
NONE_OWN: Mapping[str, Decimal] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Setting:
    """One rule as somebody has it. ``values`` by "scale.measure"; what is missing is as above."""

    is_on: bool = True
    values: Mapping[str, Decimal] = field(default_factory=lambda: NONE_OWN)

    def said(self) -> dict[str, Any]:
        """Return it as the ledger holds it."""
        return {"on": self.is_on, "thresholds": {k: str(v) for k, v in self.values.items()}}


AS_DEFAULT = Setting()


@dataclass(frozen=True, slots=True)
class Change:
    """A checked change of the organisation's setting, from the version that the sender saw."""

    version: int
    setting: Setting
    reason: str
    resolves: bool


@dataclass(frozen=True, slots=True)
class Exempted:
    """A checked exception: of one yard or one horse, with a reason and an end."""

    id: UUID | None
    rule: str
    yard: UUID | None
    horse: UUID | None
    setting: Setting
    reason: str
    until_at: datetime

    def content(self) -> dict[str, Any]:
        """Return what a replay must match, and the ledger says."""
        plainly = plain.content(self, without=frozenset({"id", "setting"}))
        return {**plainly, **self.setting.said()}


def is_fixed(rule: str) -> bool:
    """Return whether nothing of a rule can be changed: it protects life and has no threshold."""
    return rule in risk.PROTECTS_LIFE and not threshold.rule(rule)["thresholds"]


def change(raw: object, rule: str, stands: Setting) -> Change:
    """Return a change of a rule as it stands: what was not sent stays, null is the default again.

    Raises Invalid with every fault.
    """
    reader = Reader(raw)
    version = reader.integer("version", low=1, high=VERSION_MOST, required=True)
    reason = reader.text("reason", most=REASON_MOST, required=True)
    resolves = reader.flag("resolve", default=False)
    setting = _setting(reader, rule, stands)
    reader.finish()
    return Change(given(version), setting, reason, bool(resolves))


def proposed(raw: object, rule: str, stands: Setting) -> Setting:
    """Return what a preview asks about; a reason and a version may come along.

    Raises Invalid with every fault.
    """
    reader = Reader(raw)
    for name in ("version", "reason", "resolve", "until", "id", "rule", "yard", "horse"):
        reader.raw(name)
    setting = _setting(reader, rule, stands)
    reader.finish()
    return setting


def subject(raw: object) -> tuple[UUID | None, UUID | None]:
    """Return the yard and the horse that a preview is asked for; raises Invalid."""
    sent = raw if isinstance(raw, Mapping) else {}
    reader = Reader({name: sent[name] for name in ("yard", "horse") if name in sent})
    yard, horse = reader.uuid("yard"), reader.uuid("horse")
    if yard is not None and horse is not None:
        reader.refuse("horse", "yard_or_horse")
    reader.finish()
    return yard, horse


def exception(raw: object, *, now: datetime) -> Exempted:
    """Return an exception, or raise Invalid with every fault: for one yard or one horse, not both.

    It must change something, and end within a year.
    """
    reader = Reader(raw)
    ref, yard, horse = reader.uuid("id"), reader.uuid("yard"), reader.uuid("horse")
    rule = reader.choice("rule", threshold.rules(), required=True)
    if (yard is None) == (horse is None) and not reader.faults:
        reader.refuse("horse", "yard_or_horse")
    setting = _setting(reader, rule, AS_DEFAULT, drops_default=False) if rule else AS_DEFAULT
    if setting == AS_DEFAULT and not reader.faults:
        reader.refuse("thresholds", "exception_changes_nothing")
    reason = reader.text("reason", most=REASON_MOST, required=True)
    until = reader.instant("until", required=True)
    if until is not None and until <= now:
        reader.refuse("until", "must_be_later_than_now")
    elif until is not None and until > now + LONGEST:
        reader.refuse("until", "too_far_off", days=LONGEST.days)
    reader.finish()
    return Exempted(ref, rule, yard, horse, setting, reason, given(until))


def ending(raw: object) -> str:
    """Return why an exception is ended before its time. Raises Invalid."""
    reader = Reader(raw)
    reason = reader.text("reason", most=REASON_MOST, required=True)
    reader.finish()
    return reason


def _setting(reader: Reader, rule: str, stands: Setting, *, drops_default: bool = True) -> Setting:
    is_on = reader.flag("on", default=stands.is_on)
    if not is_on and rule in risk.PROTECTS_LIFE:
        reader.refuse("on", "never_switched_off")
    values, sent = dict(stands.values), reader.inside("thresholds")
    rows = threshold.rule(rule)["thresholds"]
    for scale in dict.fromkeys(row["scale"] for row in rows) if sent is not None else ():
        inner = given(sent).inside(scale)
        for row in (each for each in rows if each["scale"] == scale):
            if inner is None or not inner.has(row["measure"]):
                continue
            key = f"{scale}.{row['measure']}"
            values.pop(key, None)
            found = _value(inner, row)
            if found is not None and not (drops_default and found == Decimal(row["default"])):
                values[key] = found
    return Setting(bool(is_on), MappingProxyType(values))


def _value(reader: Reader, row: Mapping[str, Any]) -> Decimal | None:
    name = row["measure"]
    sent = reader.raw(name)
    if sent is None or sent == "":
        return None
    try:
        return threshold.value(sent, row)
    except forms.Unfit as unfit:
        reader.refuse(name, unfit.key, **unfit.params)
        return None
