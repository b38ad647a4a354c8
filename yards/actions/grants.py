"""Letting people in, and out again."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

import uuid_utils.compat as uuid_utils
from django.db.models import QuerySet

from yards import audit, isolation
from yards.access import doors
from yards.access.grants import in_force_at
from yards.actions import once, people
from yards.models import Grant, GrantHorse, GrantYard, Horse, Organisation, User, Yard
from yards.queries import erasing
from yards.rules import errors, fields
from yards.rules import grant as rule
from yards.rules.errors import FieldError
from yards.rules.roles import Role, Verb, Viewer

ISSUED, REVOKED, CONFIRMED = "grant.issued", "grant.revoked", "grant.confirmed"
_SOMEBODY = UUID(int=0)


def issue_grant(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """Issue a grant from api.md's grant body.

    ``person`` is the id of somebody who has or had a grant here, or an e-mail address; one that is
    new makes a person without a password, called ``name``. A vet's grant is issued by somebody else
    and lets nobody in before the vet has confirmed it by signing in. Same id and content: a replay.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    facts, email, name = _read(raw, now)
    content = {**facts.content(), **({"person": email, "name": name} if email else {})}
    ref = once.new_ref(facts.id)
    first = Grant.objects.filter(organisation_id=viewer.organisation, ref=ref).first()
    if first is not None:
        return _replayed(viewer, first, content)
    yards, horses = scope(viewer, facts)
    person = _person(viewer, facts, email, name, now)
    if facts.role == Role.VET and person.id == viewer.person:
        raise errors.Invalid(FieldError("person", "vet_grant_by_another"))
    grant, is_new = once.insert(
        row_of(viewer, facts, person, ref=ref, digest=_digest(viewer, content), now=now)
    )
    if not is_new:
        return _replayed(viewer, grant, content)
    _name(grant, yards, horses)
    said = {**content, "person": person.id, "email": person.email}
    return once.made(viewer, verb=ISSUED, target=("grant", ref), content=said, at=now)


def _read(raw: Mapping[str, Any], now: datetime) -> tuple[rule.GrantFacts, str, str]:
    """Check a body whose person may be an e-mail address with a name; "" where it is an id."""
    given = raw.get("person") if isinstance(raw, Mapping) else None
    if not (isinstance(given, str) and "@" in given):
        return rule.check(raw, now=now), "", ""
    reader = fields.Reader({key: raw[key] for key in ("person", "name") if key in raw})
    email = reader.text("person", most=254).lower()
    name = reader.text("name", most=120)
    if not reader.faults and not people.is_address(email):
        reader.refuse("person", "not_an_email")
    rest = {key: value for key, value in raw.items() if key != "name"}
    try:
        facts = rule.check({**rest, "person": str(_SOMEBODY)}, now=now)
    except errors.Invalid as refused:
        raise errors.Invalid(*reader.faults, *refused.errors) from refused
    reader.finish()
    return facts, email, name


def one_at_a_time(viewer: Viewer) -> None:
    """Wait for whoever else changes who is let in here, and have the next wait: until the commit.

    Whom the organisation has erased, and who else coordinates, is asked after.
    """
    Organisation.objects.select_for_update(no_key=True).get(id=viewer.organisation)


def _person(viewer: Viewer, facts: rule.GrantFacts, email: str, name: str, now: datetime) -> User:
    one_at_a_time(viewer)
    if email:
        found = people.find_or_make(email=email, name=name, now=now)
        if erasing.is_erased(viewer, found.id):
            raise errors.Invalid(FieldError("person", "erased_here"))
        return found
    person = people.known_here(viewer, facts.person)
    if person is None:
        raise errors.Invalid(FieldError("person", "unknown_reference"))
    return person


def scope(viewer: Viewer, facts: rule.GrantFacts) -> tuple[list[Yard], list[Horse]]:
    """Return the yards and horses that a grant names, or raise Invalid for unknown ones."""
    yards = {yard.ref: yard for yard in doors.yards_in_scope(viewer).filter(ref__in=facts.yards)}
    horses = {
        horse.ref: horse for horse in doors.horses_in_scope(viewer).filter(ref__in=facts.horses)
    }
    faults = [
        FieldError(field, "unknown_reference")
        for field, named, known in (
            ("yards", facts.yards, yards.keys()),
            ("horses", facts.horses, horses.keys()),
        )
        if set(named) - known
    ]
    if faults:
        raise errors.Invalid(*faults)
    return list(yards.values()), list(horses.values())


def row_of(
    viewer: Viewer,
    facts: rule.GrantFacts,
    person: User,
    *,
    ref: UUID,
    digest: bytes,
    now: datetime,
) -> Grant:
    """Return a grant's row, not yet saved."""
    return Grant(
        organisation_id=viewer.organisation,
        ref=ref,
        person=person,
        role=facts.role,
        all_yards=facts.all_yards,
        from_at=facts.from_at or now,
        until_at=facts.until_at,
        reason=facts.reason,
        issued_by_id=viewer.person,
        issued_at=now,
        registration_number=facts.registration_number,
        register=facts.register,
        content_digest=digest,
        **{name: getattr(facts, name) for name in rule.SIGHT},
    )


def _name(grant: Grant, yards: list[Yard], horses: list[Horse]) -> None:
    here = {"organisation_id": grant.organisation_id, "grant": grant}
    GrantYard.objects.bulk_create(
        GrantYard(ref=uuid_utils.uuid7(), yard=yard, **here) for yard in yards
    )
    GrantHorse.objects.bulk_create(
        GrantHorse(ref=uuid_utils.uuid7(), horse=horse, **here) for horse in horses
    )


def _digest(viewer: Viewer, content: Mapping[str, Any]) -> bytes:
    return once.digest({**content, "issued_by": audit.actor_of(viewer)})


def _replayed(viewer: Viewer, first: Grant, content: Mapping[str, Any]) -> once.Made:
    if bytes(first.content_digest) != _digest(viewer, content):
        raise errors.Conflict(FieldError("id", "same_id_other_content"))
    return once.Made(first.ref, True, once.receipt(viewer, verb=ISSUED, ref=first.ref))


def revoke_grant(viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """End a grant from this instant on, for a reason; the person's next request is refused.

    The last coordinator's grant in force cannot be revoked: nobody could let anybody in again.
    Revoking it once more changes nothing and answers as the first time did.
    """
    isolation.required(viewer)
    # Before the grant is locked, as an erasure locks in this order.
    one_at_a_time(viewer)
    grant = (
        Grant.objects.select_for_update(no_key=True)
        .filter(organisation_id=viewer.organisation, ref=ref)
        .first()
    )
    if grant is None:
        raise errors.NotFound
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    facts = rule.check_revocation(raw)
    if grant.revoked_at is not None:
        return once.Made(ref, True, once.receipt(viewer, verb=REVOKED, ref=ref))
    _require_another_coordinator(viewer, grant, now)
    grant.revoked_at, grant.revoked_by_id = now, viewer.person
    grant.save(update_fields=["revoked_at", "revoked_by"])
    said = {"reason": facts.reason, "person": grant.person_id, "role": grant.role}
    return once.made(viewer, verb=REVOKED, target=("grant", ref), content=said, at=now)


def _require_another_coordinator(viewer: Viewer, grant: Grant, now: datetime) -> None:
    """Raise Conflict if this is the last coordinator's grant; whoever ends another one waits."""
    if grant.role != Role.COORDINATOR:
        return
    others = Grant.objects.filter(
        in_force_at(now),
        organisation_id=viewer.organisation,
        role=Role.COORDINATOR,
        person__is_active=True,
    )
    if not others.exclude(id=grant.id).exists():
        raise errors.Conflict(FieldError("", "last_coordinator"))


def confirm_vet_grants(person: UUID, now: datetime) -> list[UUID]:
    """Confirm a vet's waiting grants, right after the vet's own sign-in with a password.

    An edge's helper, called with no organisation open: it asks the door which organisations wait
    for this person, then opens each in turn as the system on the person's behalf. Never call it
    for a token, a password reset or a sign-in by somebody else. Returns the grants confirmed.
    """
    with isolation.door(person=person):
        if not User.objects.filter(id=person, is_active=True).exists():
            return []
        waiting = _waiting(person).values_list("organisation_id", flat=True)
        organisations = sorted(set(waiting))
    confirmed: list[UUID] = []
    for organisation in organisations:
        viewer = Viewer(organisation=organisation, role=Role.SYSTEM, person=person, via="page")
        with isolation.of(viewer):
            confirmed += confirm_here(viewer, person, now)
    return confirmed


def confirm_here(viewer: Viewer, person: UUID, now: datetime) -> list[UUID]:
    """Confirm a vet's waiting grants in the open organisation; only the SYSTEM may.

    For a sign-in, and for the server's own commands that make an invented past.
    """
    isolation.required(viewer)
    if viewer.role is not Role.SYSTEM:
        raise errors.NotAllowed
    rows = _waiting(person).filter(organisation_id=viewer.organisation)
    confirmed = list(rows.select_for_update(no_key=True).order_by("id"))
    for grant in confirmed:
        _confirm(viewer, grant, now)
    return [grant.ref for grant in confirmed]


def _waiting(person: UUID) -> QuerySet[Grant]:
    return Grant.objects.filter(
        person_id=person, role=Role.VET, confirmed_at__isnull=True, revoked_at__isnull=True
    )


def _confirm(viewer: Viewer, grant: Grant, now: datetime) -> None:
    grant.confirmed_at = now
    grant.save(update_fields=["confirmed_at"])
    audit.record(
        viewer,
        verb=CONFIRMED,
        target=("grant", grant.ref),
        payload={
            "registration_number": grant.registration_number,
            "register": grant.register,
        },
        at=now,
    )
