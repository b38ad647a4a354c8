"""A coordinator changes a risk rule within its limits: thresholds, or whether it is used at all."""

from dataclasses import dataclass
from datetime import datetime

from scoring.actions import rejudging
from scoring.models import RuleSetting
from scoring.queries import own_rules as queries
from scoring.rules import own_rule
from yards import audit, isolation
from yards.access import doors
from yards.actions import once
from yards.models import Organisation
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

CHANGED = "rule.changed"


@dataclass(frozen=True, slots=True)
class ChangedRule:
    """What a change came to: its version, and how many open alerts are no longer asked for."""

    version: int
    left_open: int
    resolved: int
    receipt: audit.Receipt


def change_rule(viewer: Viewer, rule: str, raw: object, *, now: datetime) -> ChangedRule:
    """Set a rule for the organisation, from the version seen; every horse is judged anew.

    Raises NotAllowed, Invalid, or Conflict when somebody else changed it since.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.CHANGE_RULES)
    # Of two who change a rule for the first time there is no row yet that both could lock.
    Organisation.objects.select_for_update(no_key=True).get(id=viewer.organisation)
    row = RuleSetting.objects.filter(rule=rule).first()
    stands = queries.setting_of(row.is_on, row.thresholds) if row else own_rule.AS_DEFAULT
    change = own_rule.change(raw, rule, stands)
    once.require_version(row.version if row is not None else queries.FIRST, change.version)
    if change.setting == stands:
        raise errors.Invalid(FieldError("thresholds", "rule_is_so_already"))
    scope = rejudging.Scope()
    rejudging.due_now(viewer, scope, now)
    standings = rejudging.held(rule, scope)
    before = rejudging.own_of(standings, now)
    row = _kept(viewer, rule, row, change, now)
    unasked = rejudging.rejudge(
        viewer,
        rule,
        before,
        standings,
        now=now,
        resolving=change.reason if change.resolves else "",
    )
    said = {
        "rule": rule,
        "reason": change.reason,
        "before": stands.said(),
        "after": change.setting.said(),
        **unasked.said(),
    }
    receipt = audit.record(viewer, verb=CHANGED, target=("rule", row.ref), payload=said, at=now)
    return ChangedRule(row.version, len(unasked.standing), len(unasked.resolved), receipt)


def _kept(
    viewer: Viewer, rule: str, row: RuleSetting | None, change: own_rule.Change, now: datetime
) -> RuleSetting:
    facts = {
        **queries.stored(change.setting),
        "reason": change.reason,
        "set_by_id": doors.person_of(viewer),
        "set_at": now,
        "version": change.version + 1,
    }
    if row is None:
        own = {"organisation_id": viewer.organisation, "ref": once.new_ref(None), "rule": rule}
        return RuleSetting.objects.create(**own, **facts)
    for name, value in facts.items():
        setattr(row, name, value)
    row.save(update_fields=[name.removesuffix("_id") for name in facts])
    return row
