"""An escalation policy as it comes in: checked, within limits that keep an alert from being lost.

The urgent ladder is never empty and begins at once; every rung names somebody; gaps and repeats
have longest and shortest lengths for each severity.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from scoring.rules import ladder
from scoring.rules.policy import HEARERS, Policy, Rung
from yards.rules.fields import Reader, given
from yards.rules.roles import Role

REASON_MOST = 500
VERSION_MOST = 2**31 - 1
RUNGS_MOST, PEOPLE_MOST = 8, 10
ROLES = tuple(role.value for role in HEARERS)


@dataclass(frozen=True, slots=True)
class Limits:
    """Of one severity, in minutes: the fewest rungs, the latest first, gaps, repeats."""

    fewest: int
    first: int
    gap: int
    least_every: int
    most_every: int


LIMITS: Mapping[str, Limits] = {
    ladder.URGENT: Limits(1, 0, 120, 10, 120),
    ladder.ACT: Limits(1, 240, 1440, 60, 1440),
    ladder.WATCH: Limits(0, 1440, 10080, 1440, 20160),
}


@dataclass(frozen=True, slots=True)
class Change:
    """A policy to be, why, and the version it was made from.

    ``accepts_unreached``: whoever sends it has read which steps reach nobody now.
    """

    policy: Policy
    reason: str
    version: int
    accepts_unreached: bool


def change(raw: object, severity: str) -> Change:
    """Return a checked change of the whole policy. Raises Invalid with every fault."""
    reader = Reader(raw)
    version = reader.integer("version", low=1, high=VERSION_MOST, required=True)
    reason = reader.text("reason", most=REASON_MOST, required=True)
    accepts = reader.flag("accept_unreached", default=False)
    policy = _policy(reader, severity)
    reader.finish()
    return Change(policy, reason, given(version), bool(accepts))


@dataclass(frozen=True, slots=True)
class Asked:
    """A policy to try, for an alert opened at an instant in one yard."""

    policy: Policy
    at: datetime
    yard: UUID | None


def asked(raw: object, severity: str, *, now: datetime) -> Asked:
    """Return what a preview is asked of; a reason and a version may come along. Raises Invalid."""
    reader = Reader(raw)
    for name in ("version", "reason", "accept_unreached"):
        reader.raw(name)
    at, yard = reader.instant("at") or now, reader.uuid("yard")
    policy = _policy(reader, severity)
    reader.finish()
    return Asked(policy, at, yard)


def _policy(reader: Reader, severity: str) -> Policy:
    limits = LIMITS[severity]
    rungs = [_rung(reader, place, item) for place, item in enumerate(_items(reader))]
    every = reader.integer("repeat_minutes", low=limits.least_every, high=limits.most_every)
    if every is None and rungs and not reader.faults:
        reader.refuse("repeat_minutes", "required")
    if len(rungs) < limits.fewest and not reader.faults:
        reader.refuse("steps", "ladder_never_empty")
    _in_order(reader, rungs, limits)
    return Policy(
        severity,
        tuple(rungs),
        timedelta(minutes=limits.most_every if every is None else every),
    )


def _items(reader: Reader) -> tuple[object, ...]:
    return tuple(reader.items("steps", most=RUNGS_MOST))


def _rung(reader: Reader, place: int, item: object) -> Rung:
    inner = reader.beside(item, f"steps.{place}")
    most = LIMITS[ladder.WATCH].gap * RUNGS_MOST
    after = inner.integer("after_minutes", low=0, high=most, required=True)
    roles = inner.choices("roles", ROLES)
    people = inner.uuids("people")
    if len(people) > PEOPLE_MOST:
        inner.refuse("people", "too_many", most=PEOPLE_MOST)
    if not roles and not people:
        inner.refuse("roles", "step_names_nobody")
    return Rung(
        timedelta(minutes=after or 0), frozenset(Role(each) for each in roles), frozenset(people)
    )


def _in_order(reader: Reader, rungs: list[Rung], limits: Limits) -> None:
    """Refuse a first rung that comes late, rungs out of order, and gaps that are too long."""
    if reader.faults:
        return
    before = timedelta(0)
    for place, rung in enumerate(rungs):
        field, gap = f"steps.{place}.after_minutes", rung.after - before
        if place == 0 and gap > timedelta(minutes=limits.first):
            if limits.first:
                reader.refuse(field, "first_step_too_late", minutes=limits.first)
            else:
                reader.refuse(field, "first_step_at_once")
        elif place and gap <= timedelta(0):
            reader.refuse(field, "steps_out_of_order")
        elif place and gap > timedelta(minutes=limits.gap):
            reader.refuse(field, "gap_too_long", minutes=limits.gap)
        before = rung.after


def said(policy: Policy) -> dict[str, Any]:
    """Return a policy as the ledger and the API say it, and as its row keeps it."""
    return {
        "steps": [
            {
                "after_minutes": int(rung.after.total_seconds() // 60),
                "roles": sorted(role.value for role in rung.roles),
                "people": sorted(str(each) for each in rung.people),
            }
            for rung in policy.rungs
        ],
        "repeat_minutes": int(policy.every.total_seconds() // 60),
    }


def kept(severity: str, steps: list[Mapping[str, Any]], repeat_minutes: int) -> Policy:
    """Return a policy from what ``said`` made of it."""
    return Policy(
        severity,
        tuple(
            Rung(
                timedelta(minutes=each["after_minutes"]),
                frozenset(Role(role) for role in each["roles"]),
                frozenset(UUID(person) for person in each["people"]),
            )
            for each in steps
        ),
        timedelta(minutes=repeat_minutes),
    )
