"""What is asked to change a risk rule, and what a preview says."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

import rfc8785
from django.utils.translation import gettext, ngettext

from scoring.queries import rule_limits, rule_words, wording
from scoring.queries.replaying import Count, Preview
from scoring.queries.rules import Acting, ThresholdCard
from scoring.rules import risk, threshold
from scoring.rules.own_rule import Setting
from yards.pages import words
from yards.pages.controls import Control

PREFIX = "thresholds."
_HALF = Decimal("0.5")


def controls(rule: str, *, excepted: bool = False) -> tuple[Control, ...]:
    """Return one question for each threshold, and whether the rule is used at all."""
    asked = [_threshold(rule, row, excepted) for row in threshold.rule(rule)["thresholds"]]
    if rule in risk.PROTECTS_LIFE:
        return tuple(asked)
    used = (("true", gettext("In use")), ("false", gettext("Switched off")))
    return (Control("on", gettext("This rule"), "segments", choices=used), *asked)


def _threshold(rule: str, row: Mapping[str, Any], excepted: bool) -> Control:
    name, label = f"{PREFIX}{row['scale']}.{row['measure']}", rule_words.measure(row)
    default, why = Decimal(row["default"]), rule_limits.why(rule, row)
    empty = gettext("As the organisation has it") if excepted else ""
    if row["unit"] == threshold.HALVES:
        return Control(name, label, "pick", why, choices=_halves(row, default), empty=empty)
    hint = gettext("{limits}. Default: {default}. {why}").format(
        limits=rule_words.limits(row), default=rule_words.default(row), why=why
    )
    mode = "numeric" if row["unit"] == threshold.DAYS else "decimal"
    if excepted:
        hint += " " + gettext("Empty: as the organisation has it.")
    if row["unit"] == "share":
        hint += " " + gettext("As a share: 0.8 is 80%.")
    return Control(name, label, hint=hint, mode=mode)


def _halves(row: Mapping[str, Any], default: Decimal) -> list[tuple[str, str]]:
    least, most, found = Decimal(row["least"]), Decimal(row["most"]), []
    while least <= most:
        told = rule_words.bound(row, least)
        if least == default:
            told = gettext("{bound}, the default").format(bound=told)
        found.append((rule_words.figure(row, least), told))
        least += _HALF
    return found


def start(rule: str, is_on: bool, thresholds: Sequence[ThresholdCard]) -> dict[str, str]:
    """Return what the fields begin with: the rule as it stands."""
    found = {f"{PREFIX}{each.key}": rule_words.figure(each.row, each.value) for each in thresholds}
    return found if rule in risk.PROTECTS_LIFE else {**found, "on": str(is_on).lower()}


def whole(rule: str, raw: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was typed with each threshold that was left empty as the default again."""
    sent = raw.get("thresholds")
    typed: Mapping[str, Any] = sent if isinstance(sent, Mapping) else {}
    found: dict[str, dict[str, Any]] = {}
    for row in threshold.rule(rule)["thresholds"]:
        inner = typed.get(row["scale"])
        value = inner.get(row["measure"]) if isinstance(inner, Mapping) else None
        found.setdefault(row["scale"], {})[row["measure"]] = value
    return {**flagged(raw), "thresholds": found}


def flagged(raw: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was typed with its answer on the use of the rule as a flag."""
    flags = {"true": True, "false": False}
    return {**raw, "on": flags.get(str(raw["on"]), raw["on"])} if "on" in raw else dict(raw)


def mark(rule: str, setting: Setting) -> str:
    """Return a text that is the same for the same setting: what was previewed is what is saved."""
    return rfc8785.dumps({"rule": rule, **setting.said()}).decode()


@dataclass(frozen=True, slots=True)
class Told:
    """A preview in words."""

    proposed: str
    today: str
    beside: Sequence[str]
    more: Sequence[tuple[UUID, str]]
    fewer: Sequence[tuple[UUID, str, str]]
    counted: str


def told(found: Preview, springs: str) -> Told:
    """Return what a setting would have meant, in words; ``springs`` says when spring is where."""
    beside = gettext("“{rule}” would have gone from {today} to {proposed}.")
    return Told(
        proposed=_count(found.proposed, found.has_spring),
        today=_count(found.today, found.has_spring),
        beside=[
            beside.format(
                rule=wording.title(each.rule),
                today=_alerts(each.today.alerts),
                proposed=_alerts(each.proposed.alerts),
            )
            for each in found.beside
        ],
        more=found.more,
        fewer=[(ref, name, _still(found.still.get(ref, ()))) for ref, name in found.fewer],
        counted=_counted(found) + (f" {springs}" if found.has_spring and springs else ""),
    )


def _still(rules: Sequence[str]) -> str:
    """Return by which other rules a horse would still have been told of."""
    if not rules:
        return gettext("told by no rule of this kind any more")
    named = ", ".join(gettext("“{rule}”").format(rule=wording.title(each)) for each in rules)
    return gettext("still told by {rules}").format(rules=named)


def _alerts(number: int) -> str:
    return ngettext("{n} alert", "{n} alerts", number).format(n=number)


def _count(found: Count, has_spring: bool) -> str:
    """Return a count as people say it: 14 alerts on 9 horses, 3 of them in spring."""
    if not found.alerts:
        return gettext("No alerts")
    horses = ngettext("{n} horse", "{n} horses", found.horses).format(n=found.horses)
    said = gettext("{alerts} on {horses}").format(alerts=_alerts(found.alerts), horses=horses)
    if not has_spring:
        return said
    spring = gettext("{said}, {n} of them in spring")
    return spring.format(said=said, n=found.in_spring)


def _counted(found: Preview) -> str:
    said = gettext(
        "Worked out by asking the rule again at every reading of the last 12 months. What people "
        "answered and exceptions are left out; kind, use and laminitis of each horse are as today."
    )
    if found.counted == found.of:
        return said
    some = gettext("Of {of} horses the {counted} that were read last are counted.")
    return f"{said} {some.format(of=found.of, counted=found.counted)}"


def setting_words(rule: str, setting: Setting) -> str:
    """Return what an exception sets, in words."""
    if not setting.is_on:
        return gettext("Switched off")
    rows = threshold.rule(rule)["thresholds"]
    said = []
    for row in rows:
        value = setting.values.get(f"{row['scale']}.{row['measure']}")
        if value is not None:
            said.append(f"{rule_words.measure(row)}: {rule_words.bound(row, value)}")
    return "; ".join(said)


@dataclass(frozen=True, slots=True)
class Acts:
    """How a rule acts on one horse, in words; ``excepted`` says by which exception, if any."""

    bounds: Sequence[str]
    is_on: bool
    excepted: str


def acting(found: Acting, zone: str) -> Acts:
    """Return how a rule acts on one horse, in words."""
    bounds = [
        f"{rule_words.measure(each.row)}: {rule_words.bound(each.row, each.value)}"
        for each in found.thresholds
    ]
    card = found.exception
    if card is None:
        return Acts(bounds, found.is_on, "")
    said = gettext("Exception for {name} until {day}, by {who}: {reason}").format(
        name=card.named, day=words.day(card.until, zone), who=card.given_by.name, reason=card.reason
    )
    return Acts(bounds, found.is_on, said)
