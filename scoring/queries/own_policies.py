"""How an organisation escalates, and who is away: for actions, whatever the viewer's role."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from scoring.models import Absence, EscalationPolicy
from scoring.rules import policy, policy_input
from yards import isolation
from yards.rules.roles import Viewer

# The version of a policy that nobody has changed yet.
FIRST = 1


def policy_of(row: EscalationPolicy | None, severity: str) -> policy.Policy:
    """Return a policy from its row; without one, as by default."""
    if row is None:
        return policy.DEFAULT[severity]
    return policy_input.kept(severity, row.steps, row.repeat_minutes)


def by_severity(viewer: Viewer) -> Mapping[str, policy.Policy]:
    """Return the policy of every severity, in one query."""
    isolation.required(viewer)
    rows = EscalationPolicy.objects.filter(organisation_id=viewer.organisation)
    held = {row.severity: row for row in rows}
    return {severity: policy_of(held.get(severity), severity) for severity in policy.DEFAULT}


@dataclass(frozen=True, slots=True)
class Away:
    """Somebody's time away."""

    person: UUID
    from_at: datetime
    until_at: datetime

    def covers(self, at: datetime) -> bool:
        """Return whether they are away then."""
        return self.from_at <= at < self.until_at


def absences(viewer: Viewer, since: datetime) -> tuple[Away, ...]:
    """Return every absence that stands and ends after an instant, in one query."""
    isolation.required(viewer)
    rows = Absence.objects.filter(
        organisation_id=viewer.organisation, ended_at__isnull=True, until_at__gt=since
    )
    return tuple(Away(row.person_id, row.from_at, row.until_at) for row in rows)


def away(viewer: Viewer, now: datetime) -> frozenset[UUID]:
    """Return who is away now, in one query."""
    return frozenset(each.person for each in absences(viewer, now) if each.covers(now))
