"""Every risk rule as it stands: in the data, in the organisation, for a yard or a horse."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from scoring.models import RuleSetting
from scoring.queries import own_policies, own_rules, rule_exceptions
from scoring.queries.rule_exceptions import ExceptionCard
from scoring.rules import own_rule, risk, threshold
from scoring.rules.own_rule import Setting
from scoring.rules.policy import Policy
from yards import isolation
from yards.access import doors
from yards.queries.people import PersonName
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class ThresholdCard:
    """One threshold: its row of the data, its value here, and whose that is."""

    row: Mapping[str, Any]
    value: Decimal
    is_own: bool

    @property
    def key(self) -> str:
        """Its scale and measure."""
        return f"{self.row['scale']}.{self.row['measure']}"


@dataclass(frozen=True, slots=True)
class RuleCard:
    """One rule as the organisation has it. ``set_by`` is who changed it last, if anybody did."""

    rule: str
    severities: Sequence[str]
    protects_life: bool
    source: str
    is_on: bool
    thresholds: Sequence[ThresholdCard]
    exceptions: Sequence[ExceptionCard]
    reason: str
    set_by: PersonName | None
    set_at: datetime | None
    version: int
    policies: Mapping[str, Policy]

    @property
    def setting(self) -> Setting:
        """What the organisation set."""
        return Setting(
            self.is_on, {each.key: each.value for each in self.thresholds if each.is_own}
        )

    @property
    def is_fixed(self) -> bool:
        """Whether nothing of it can be changed."""
        return own_rule.is_fixed(self.rule)


def list_rules(viewer: Viewer, *, now: datetime) -> tuple[RuleCard, ...]:
    """Return every rule, gravest first, in three queries; exceptions are those in scope."""
    rows = _rows(viewer)
    exceptions = rule_exceptions.in_force(viewer, now=now)
    policies = own_policies.by_severity(viewer)
    return tuple(_card(name, rows.get(name), exceptions, policies) for name in risk.RULES)


def get_rule(viewer: Viewer, name: str, *, now: datetime) -> RuleCard:
    """Return one rule that there is."""
    rows = _rows(viewer, rule=name)
    exceptions = rule_exceptions.in_force(viewer, rule=name, now=now)
    return _card(name, rows.get(name), exceptions, own_policies.by_severity(viewer))


def _rows(viewer: Viewer, **asked: str) -> dict[str, RuleSetting]:
    isolation.required(viewer)
    doors.require(viewer, Verb.READ_RULES)
    found = RuleSetting.objects.filter(organisation_id=viewer.organisation, **asked)
    return {row.rule: row for row in found.select_related("set_by")}


def thresholds_of(rule: str, setting: Setting) -> tuple[ThresholdCard, ...]:
    """Return a rule's thresholds by a setting."""
    found = []
    for row in threshold.rule(rule)["thresholds"]:
        own = setting.values.get(f"{row['scale']}.{row['measure']}")
        found.append(
            ThresholdCard(row, Decimal(row["default"]) if own is None else own, own is not None)
        )
    return tuple(found)


def _card(
    name: str,
    row: RuleSetting | None,
    exceptions: Sequence[ExceptionCard],
    policies: Mapping[str, Policy],
) -> RuleCard:
    told = threshold.rule(name)
    setting = own_rules.setting_of(row.is_on, row.thresholds) if row else own_rule.AS_DEFAULT
    severities = [told["severity"], told.get("severity_at_risk", "")]
    return RuleCard(
        rule=name,
        severities=[each for each in severities if each],
        protects_life=told["protects_life"],
        source=told["source"],
        is_on=setting.is_on,
        thresholds=thresholds_of(name, setting),
        exceptions=tuple(each for each in exceptions if each.rule == name),
        reason=row.reason if row is not None else "",
        set_by=PersonName(row.set_by.id, row.set_by.name) if row is not None else None,
        set_at=row.set_at if row is not None else None,
        version=row.version if row is not None else own_rules.FIRST,
        policies=policies,
    )


@dataclass(frozen=True, slots=True)
class Acting:
    """How a rule acts on one horse now: its thresholds, and what exception sets them."""

    rule: str
    is_on: bool
    thresholds: Sequence[ThresholdCard]
    exception: ExceptionCard | None


def acting_on(viewer: Viewer, horse: UUID, rule: str, *, now: datetime) -> Acting:
    """Return how a rule acts on one horse, for an alert's page; raises NotFound or NotAllowed."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_RULES)
    held = own_rules.held([subject.yard_id], [subject.id], now)
    setting = held.setting(rule, yard=subject.yard_id, horse=subject.id)
    excepted = [
        each for each in rule_exceptions.of_horse(viewer, horse, now=now) if each.rule == rule
    ]
    return Acting(
        rule=rule,
        is_on=setting.is_on,
        thresholds=thresholds_of(rule, setting),
        exception=excepted[0] if excepted else None,
    )
