"""The one life of an alert, as pure steps: what each act makes of it, and when it next stirs.

Actions write what these functions answer, and nothing else moves an alert. Whatever is open and
has a ladder always stirs again (``next_at``): a rung, or the last rung repeated, until a person
answers. An acknowledgement stirs when its promise is due, a snooze when it ends.
"""

from dataclasses import dataclass, replace
from datetime import datetime

from scoring.rules import ladder
from scoring.rules import policy as policies
from scoring.rules.policy import Hours, Policy

OPEN, ACKNOWLEDGED = ladder.OPEN, ladder.ACKNOWLEDGED
SNOOZED, RESOLVED = ladder.SNOOZED, ladder.RESOLVED


@dataclass(frozen=True, slots=True)
class Life:
    """Where an alert stands.

    ``step`` is the rung told last (or first, while ``told_at`` is None), ``tellings`` counts every
    message of the episode, ``exhausted_at`` is when the whole ladder had been climbed in vain, and
    ``next_at`` when it stirs by itself.
    """

    severity: str
    state: str
    began_at: datetime
    step: int = 0
    tellings: int = 0
    told_at: datetime | None = None
    exhausted_at: datetime | None = None
    next_step_by: datetime | None = None
    snoozed_until: datetime | None = None
    next_at: datetime | None = None


# What of a life its row keeps by the same names.
FIELDS = tuple(Life.__dataclass_fields__)


def opened(
    policy: Policy, now: datetime, hours: Hours, *, not_before: datetime | None = None
) -> Life:
    """Return a new alert's life, on its first rung if that is due."""
    return begun(Life(policy.severity, OPEN, now), policy, now, hours, not_before=not_before)


def begun(
    life: Life,
    policy: Policy,
    now: datetime,
    hours: Hours,
    *,
    not_before: datetime | None = None,
) -> Life:
    """Stand before the first rung of a ladder that begins now, and take it if it is due.

    ``not_before`` lets what is not urgent wait a moment, to go out with others.
    """
    at = policies.next_at(policy, now, 0, now, hours)
    if at is not None and not_before is not None:
        at = max(at, policies.awake(policy.severity, not_before, hours))
    if policy.severity == ladder.URGENT:
        at = now
    anew = replace(
        life,
        severity=policy.severity,
        state=OPEN,
        began_at=now,
        step=0,
        told_at=None,
        exhausted_at=None,
        next_at=at,
    )
    return told(anew, policy, now, hours) if at is not None and at <= now else anew


def told(life: Life, policy: Policy, now: datetime, hours: Hours) -> Life:
    """Take the rung that is due, or repeat the last; the ladder is exhausted with the first repeat.

    The policy may have changed since: what it says now counts. A step that comes late, while the
    yard sleeps, waits until it wakes.
    """
    rungs = len(policy.rungs)
    taken = 0 if life.told_at is None else life.step + 1
    if rungs == 0:
        return replace(life, next_at=None)
    wakes = policies.awake(policy.severity, now, hours)
    if wakes > now:
        return replace(life, next_at=wakes)
    is_spent = taken >= rungs
    step = min(taken, rungs - 1)
    return replace(
        life,
        step=step,
        tellings=life.tellings + 1,
        told_at=now,
        exhausted_at=(life.exhausted_at or now) if is_spent else None,
        next_at=policies.next_at(policy, life.began_at, step + 1, now, hours),
    )


def begins_anew(life: Life, severity: str, now: datetime) -> bool:
    """Return whether a finding begins an unresolved alert's ladder anew.

    What rises does, and what was promised and did not happen. Anything else takes nothing back and
    puts nothing off.
    """
    return ladder.rank(severity) > ladder.rank(life.severity) or is_broken(life, now)


def found_again(life: Life, policy: Policy, now: datetime, hours: Hours) -> Life:
    """Return what a finding makes of an unresolved alert; ``policy`` is of the graver severity."""
    if not begins_anew(life, policy.severity, now):
        return life
    return begun(life, policy, now, hours)


def is_broken(life: Life, now: datetime) -> bool:
    """Return whether a promise was made whose time has passed."""
    return life.state == ACKNOWLEDGED and life.next_step_by is not None and life.next_step_by <= now


def acknowledged(life: Life, by: datetime) -> Life:
    """Somebody takes it on: no rung is climbed until the promise is due."""
    return replace(life, state=ACKNOWLEDGED, next_step_by=by, next_at=by, exhausted_at=None)


def snoozed(life: Life, until: datetime) -> Life:
    """Somebody puts it off; it stirs when that is over."""
    return replace(life, state=SNOOZED, snoozed_until=until, next_at=until, exhausted_at=None)


def resolved(life: Life) -> Life:
    """It is over; nothing stirs any more."""
    return replace(life, state=RESOLVED, next_at=None, exhausted_at=None)


def followed_up(life: Life, policy: Policy, now: datetime, hours: Hours, *, seen: bool) -> Life:
    """The promise is due: unless somebody was with the horse, the ladder begins anew."""
    if not is_broken(life, now):
        return life
    if seen:
        return replace(life, next_at=None)
    return begun(life, policy, now, hours)


def woken(life: Life, policy: Policy, now: datetime, hours: Hours) -> Life:
    """The snooze is over: the ladder begins anew."""
    if life.state != SNOOZED or life.snoozed_until is None or life.snoozed_until > now:
        return life
    return begun(life, policy, now, hours)
