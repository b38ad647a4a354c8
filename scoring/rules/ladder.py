"""An alert's haste: how soon it must be answered and followed up, and who may end it.

Urgent means now and breaks quiet hours; act means today, in waking hours; watch means this week and
goes with the morning's summary. Who is told, and when, is ``scoring.rules.policy``. Times are
working defaults (common practice, no published source).
"""

from collections.abc import Mapping
from datetime import datetime, timedelta

from scoring.rules import finding, risk
from yards.rules import event
from yards.rules.roles import Role

URGENT, ACT, WATCH = finding.URGENT, finding.ACT, finding.WATCH
SEVERITIES = finding.SEVERITIES
OPEN, ACKNOWLEDGED, SNOOZED, RESOLVED = "open", "acknowledged", "snoozed", "resolved"
STATES = (OPEN, ACKNOWLEDGED, SNOOZED, RESOLVED)

# How long an open alert waits for an answer before the second rung of a ladder that nobody has set;
# act counts waking hours only.
ESCALATE_AFTER: Mapping[str, timedelta] = {
    URGENT: timedelta(minutes=30),
    ACT: timedelta(hours=4),
}
# By when the next step is to follow an acknowledgement that names no time.
NEXT_STEP_WITHIN: Mapping[str, timedelta] = {
    URGENT: timedelta(hours=2),
    ACT: timedelta(hours=24),
    WATCH: timedelta(days=7),
}
# Alerts that only a vet ends, or a coordinator who records what the vet said.
PROTECTED = risk.PROTECTS_LIFE
# Events that count as somebody having been with the horse.
VISITS = event.VISITS


def rank(severity: str) -> int:
    """Return how urgent a severity is: 0 watch, 1 act, 2 urgent."""
    return finding.rank(severity)


def clears_by_reading(rule: str) -> bool:
    """Return whether a reading or a season may end an alert; one that protects life never so."""
    return rule not in PROTECTED


def may_resolve(rule: str, role: Role, *, vet_said: bool) -> bool:
    """Return whether a role may end an alert of a rule, having recorded the vet's words or not."""
    if role is Role.VET:
        return True
    if rule in PROTECTED:
        return role is Role.COORDINATOR and vet_said
    return role in (Role.COORDINATOR, Role.ASSESSOR)


def next_step_by(severity: str, now: datetime) -> datetime:
    """Return by when the next step is due after an acknowledgement that names no time."""
    return now + NEXT_STEP_WITHIN[severity]
