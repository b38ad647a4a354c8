"""An escalation policy: who is told of an unanswered alert, after how long, and how often again.

A policy is of one severity: rungs in the order in which they are climbed, then the last of them
repeated. Urgent time runs through the night; of anything else only the yard's waking hours count.
All instants are UTC; the yard's clock says when it sleeps. Times are working defaults (common
practice, no published source).
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from uuid import UUID

from scoring.rules import ladder
from yards.rules import daytime
from yards.rules.roles import Role

URGENT, ACT, WATCH = ladder.URGENT, ladder.ACT, ladder.WATCH
# Who may be told at all: those who may answer.
HEARERS = (Role.COORDINATOR, Role.VET, Role.ASSESSOR)


@dataclass(frozen=True, slots=True)
class Hours:
    """A yard's clock and its quiet hours."""

    zone: str
    quiet_from: time | None = None
    quiet_to: time | None = None


@dataclass(frozen=True, slots=True)
class Rung:
    """One step: how long after the ladder began, and who is told then."""

    after: timedelta
    roles: frozenset[Role]
    people: frozenset[UUID] = frozenset()


@dataclass(frozen=True, slots=True)
class Policy:
    """The ladder of one severity. Without rungs nobody is told but by the morning's summary."""

    severity: str
    rungs: tuple[Rung, ...]
    every: timedelta


_COORDINATORS = frozenset({Role.COORDINATOR})
_WITH_VET = frozenset({Role.COORDINATOR, Role.VET})
DEFAULT: Mapping[str, Policy] = {
    URGENT: Policy(
        URGENT,
        (Rung(timedelta(0), _WITH_VET), Rung(ladder.ESCALATE_AFTER[URGENT], _WITH_VET)),
        timedelta(minutes=30),
    ),
    ACT: Policy(
        ACT,
        (Rung(timedelta(0), _COORDINATORS), Rung(ladder.ESCALATE_AFTER[ACT], _WITH_VET)),
        timedelta(hours=8),
    ),
    WATCH: Policy(WATCH, (), timedelta(days=7)),
}


def awake(severity: str, at: datetime, hours: Hours) -> datetime:
    """Return when people may be told from an instant on: urgent at once, the rest when awake."""
    if severity == URGENT:
        return at
    return daytime.next_waking(at, hours.zone, hours.quiet_from, hours.quiet_to)


def passed(severity: str, start: datetime, length: timedelta, hours: Hours) -> datetime:
    """Return the instant at which so much of the time that counts has passed since the start."""
    if severity == URGENT:
        return start + length
    return daytime.after_waking(start, length, hours.zone, hours.quiet_from, hours.quiet_to)


def next_at(
    policy: Policy, began: datetime, rungs_told: int, now: datetime, hours: Hours
) -> datetime | None:
    """Return when the next step falls due, given how many rungs were told; None without rungs.

    A rung's time counts from the beginning, so what came late does not put the next off; a repeat
    counts from now, so that none are sent in a burst after we were away.
    """
    if not policy.rungs:
        return None
    if rungs_told >= len(policy.rungs):
        return passed(policy.severity, now, policy.every, hours)
    planned = passed(policy.severity, began, policy.rungs[rungs_told].after, hours)
    return max(planned, awake(policy.severity, now, hours))


@dataclass(frozen=True, slots=True)
class Hearer:
    """Somebody whose grant covers the horse now, and whether they are away."""

    person: UUID
    role: Role
    is_away: bool = False


def audience(rung: Rung, hearers: Iterable[Hearer], owner: UUID | None = None) -> frozenset[UUID]:
    """Return whom a rung tells, the alert's owner among them.

    Whoever is away is left out while anybody else is told. Where nobody would be, the coordinators
    are; where they are all away too, everybody concerned is told: better disturbed than not told.
    """
    able = [each for each in hearers if each.role in HEARERS]
    chosen = [
        each
        for each in able
        if each.role in rung.roles or each.person in rung.people or each.person == owner
    ]
    coordinators = [each for each in able if each.role is Role.COORDINATOR]
    for group in (chosen, coordinators):
        here = frozenset(each.person for each in group if not each.is_away)
        if here:
            return here
    return frozenset(each.person for each in (*chosen, *coordinators))


def reaches_somebody(rung: Rung, hearers: Collection[Hearer]) -> bool:
    """Return whether a rung as it is set reaches anybody, before anybody stands in."""
    return any(
        (each.role in rung.roles or each.person in rung.people)
        and each.role in HEARERS
        and not each.is_away
        for each in hearers
    )


@dataclass(frozen=True, slots=True)
class Moment:
    """One line of a timetable: when, which rung, and whether it is a repeat of it."""

    at: datetime
    rung: int
    is_repeat: bool = False


def timetable(
    policy: Policy, began: datetime, hours: Hours, *, repeats: int = 1
) -> Sequence[Moment]:
    """Return what an alert that nobody answers comes to, with so many of the repeats."""
    found: list[Moment] = []
    now = began
    last = len(policy.rungs) - 1
    for told in range(len(policy.rungs) + repeats):
        at = next_at(policy, began, told, now, hours)
        if at is None:
            break
        found.append(Moment(at, min(told, last), told > last))
        now = at
    return found
