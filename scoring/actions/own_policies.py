"""A coordinator changes how alerts of one severity escalate, within limits."""

from datetime import datetime

from scoring.models import EscalationPolicy
from scoring.queries import hearers, own_policies, policies
from scoring.rules import policy_input
from yards import audit, isolation
from yards.access import doors
from yards.actions import once
from yards.models import Organisation
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

CHANGED = "policy.changed"


def change_policy(
    viewer: Viewer, severity: str, raw: object, *, now: datetime
) -> policies.PolicyCard:
    """Set the whole ladder of a severity, from the version seen.

    Open alerts go by it from their next step on. A step that reaches nobody in some yard is refused
    unless the sender accepts it. Raises NotFound, NotAllowed, Invalid, or Conflict when somebody
    else changed it since.
    """
    isolation.required(viewer)
    policies.severity_known(severity)
    doors.require(viewer, Verb.CHANGE_RULES)
    # Of two who change a policy for the first time there is no row yet that both could lock.
    Organisation.objects.select_for_update(no_key=True).get(id=viewer.organisation)
    row = EscalationPolicy.objects.filter(severity=severity).first()
    stands = own_policies.policy_of(row, severity)
    change = policy_input.change(raw, severity)
    once.require_version(row.version if row is not None else own_policies.FIRST, change.version)
    if change.policy == stands:
        raise errors.Invalid(FieldError("steps", "policy_is_so_already"))
    missed = _require_reached(viewer, change, now)
    row = _kept(viewer, severity, row, change, now)
    said = {
        "severity": severity,
        "reason": change.reason,
        "before": policy_input.said(stands),
        "after": policy_input.said(change.policy),
        "unreached": [{"step": each.rung, "yards": len(each.yards)} for each in missed],
    }
    audit.record(viewer, verb=CHANGED, target=("policy", row.ref), payload=said, at=now)
    return policies.get_policy(viewer, severity, now=now)


def _require_reached(
    viewer: Viewer, change: policy_input.Change, now: datetime
) -> tuple[policies.Unreached, ...]:
    house = hearers.of_house(viewer, now=now)
    policies.require_hearers(change.policy, house)
    missed = policies.unreached(viewer, change.policy, house, now=now)
    if missed and not change.accepts_unreached:
        faults = [
            FieldError(f"steps.{each.rung}", "step_reaches_nobody", {"yards": len(each.yards)})
            for each in missed
        ]
        raise errors.Invalid(*faults)
    return missed


def _kept(
    viewer: Viewer,
    severity: str,
    row: EscalationPolicy | None,
    change: policy_input.Change,
    now: datetime,
) -> EscalationPolicy:
    facts = {
        **policy_input.said(change.policy),
        "reason": change.reason,
        "set_by_id": doors.person_of(viewer),
        "set_at": now,
        "version": change.version + 1,
    }
    if row is None:
        own = {"organisation_id": viewer.organisation, "ref": once.new_ref(None)}
        return EscalationPolicy.objects.create(**own, severity=severity, **facts)
    for name, value in facts.items():
        setattr(row, name, value)
    row.save(update_fields=[name.removesuffix("_id") for name in facts])
    return row
