"""Escalation policies as coordinators see them, and what one comes to in a yard."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from scoring.models import EscalationPolicy
from scoring.queries import hearers, own_policies
from scoring.rules import policy as rule
from scoring.rules import policy_input
from scoring.rules.policy import Hours, Policy
from yards import isolation
from yards.access import doors, zones
from yards.models import Yard
from yards.queries.people import PersonName
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Role, Verb, Viewer

SEVERITIES = (rule.URGENT, rule.ACT, rule.WATCH)


@dataclass(frozen=True, slots=True)
class PolicyCard:
    """The ladder of one severity. ``set_by`` is who changed it last, if anybody did."""

    policy: Policy
    is_own: bool
    reason: str
    set_by: PersonName | None
    set_at: datetime | None
    version: int
    names: Mapping[UUID, str]


def list_policies(viewer: Viewer, *, now: datetime) -> tuple[PolicyCard, ...]:
    """Return every severity's policy, gravest first."""
    rows, house = _rows(viewer), hearers.of_house(viewer, now=now)
    return tuple(_card(each, rows.get(each), house.names) for each in SEVERITIES)


def get_policy(viewer: Viewer, severity: str, *, now: datetime) -> PolicyCard:
    """Return one severity's policy; NotFound for what is no severity."""
    if severity not in SEVERITIES:
        raise errors.NotFound
    return next(each for each in list_policies(viewer, now=now) if each.policy.severity == severity)


def severity_known(severity: str) -> None:
    """Raise NotFound unless there is such a severity."""
    if severity not in SEVERITIES:
        raise errors.NotFound


def _rows(viewer: Viewer) -> dict[str, EscalationPolicy]:
    isolation.required(viewer)
    doors.require(viewer, Verb.READ_RULES)
    rows = EscalationPolicy.objects.filter(organisation_id=viewer.organisation)
    return {row.severity: row for row in rows.select_related("set_by")}


def _card(severity: str, row: EscalationPolicy | None, names: Mapping[UUID, str]) -> PolicyCard:
    return PolicyCard(
        policy=own_policies.policy_of(row, severity),
        is_own=row is not None,
        reason=row.reason if row is not None else "",
        set_by=PersonName(row.set_by.id, row.set_by.name) if row is not None else None,
        set_at=row.set_at if row is not None else None,
        version=row.version if row is not None else own_policies.FIRST,
        names=names,
    )


@dataclass(frozen=True, slots=True)
class Step:
    """One moment of a timetable, and who would be told then."""

    at: datetime
    rung: int
    is_repeat: bool
    people: Sequence[PersonName]


@dataclass(frozen=True, slots=True)
class Unreached:
    """A step that names nobody who could be told now, and in which yards."""

    rung: int
    yards: Sequence[str]


@dataclass(frozen=True, slots=True)
class Preview:
    """What an alert that nobody answers would come to, and which steps reach nobody."""

    yard: UUID | None
    yard_name: str
    time_zone: str
    opened_at: datetime
    steps: Sequence[Step]
    unreached: Sequence[Unreached]


def preview(viewer: Viewer, severity: str, raw: object, *, now: datetime) -> Preview:
    """Return what a policy would come to, for an alert opened in a yard. Raises Invalid."""
    doors.require(viewer, Verb.CHANGE_RULES)
    wanted = policy_input.asked(raw, severity, now=now)
    yard = _yard(viewer, wanted.yard)
    house = hearers.of_house(viewer, now=now)
    require_hearers(wanted.policy, house)
    found: list[Step] = []
    if yard is not None:
        hours = Hours(yard.time_zone, yard.quiet_from, yard.quiet_to)
        for moment in rule.timetable(wanted.policy, wanted.at, hours, repeats=2):
            able = house.of_yard(yard, moment.at)
            told = rule.audience(wanted.policy.rungs[moment.rung], able)
            people = sorted((PersonName(each, house.names[each]) for each in told), key=_by_name)
            found.append(Step(moment.at, moment.rung, moment.is_repeat, people))
    return Preview(
        yard=yard.ref if yard is not None else None,
        yard_name=yard.name if yard is not None else "",
        time_zone=yard.time_zone if yard is not None else "UTC",
        opened_at=wanted.at,
        steps=found,
        unreached=unreached(viewer, wanted.policy, house, now=now),
    )


def _by_name(person: PersonName) -> tuple[str, UUID]:
    return person.name.casefold(), person.id


def _yard(viewer: Viewer, ref: UUID | None) -> Yard | None:
    if ref is None:
        return zones.first_yard()
    try:
        return doors.yard_for_read(viewer, ref)
    except errors.NotFound:
        raise errors.Invalid(FieldError("yard", "unknown_reference")) from None


def require_hearers(policy: Policy, house: hearers.House) -> None:
    """Raise Invalid unless everybody who is named may hear of alerts here."""
    faults = [
        FieldError(f"steps.{place}.people", "unknown_reference")
        for place, rung in enumerate(policy.rungs)
        if any(house.role_of(each) is None for each in rung.people)
    ]
    if faults:
        raise errors.Invalid(*faults)


def unreached(
    viewer: Viewer, policy: Policy, house: hearers.House, *, now: datetime
) -> tuple[Unreached, ...]:
    """Return the steps that reach nobody in some yard as things are now, in one query."""
    isolation.required(viewer)
    yards = [(yard, house.of_yard(yard, now)) for yard in Yard.objects.order_by("name_key", "id")]
    found = []
    for place, rung in enumerate(policy.rungs):
        missed = [yard.name for yard, able in yards if not rule.reaches_somebody(rung, able)]
        if missed:
            found.append(Unreached(place, missed))
    return tuple(found)


def choices_of(viewer: Viewer, *, now: datetime) -> Sequence[tuple[PersonName, Role]]:
    """Return whom a step may name, with the role that each acts under, by name."""
    house = hearers.of_house(viewer, now=now)
    named = [PersonName(each, name) for each, name in house.names.items()]
    found = [(each, house.role_of(each.id)) for each in sorted(named, key=_by_name)]
    return [(person, role) for person, role in found if role is not None]
