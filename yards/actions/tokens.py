"""Tokens: keys for programs and phones, shown once and kept as a digest."""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from yards import audit, isolation
from yards.access import doors, viewers
from yards.actions import once, people
from yards.models import Token, User
from yards.rules import errors, fields
from yards.rules.roles import Role, Verb, Viewer

LASTS = timedelta(days=365)
LONGEST = timedelta(days=731)
# A full token acts as its person in everything, so nobody makes one for another: else a coordinator
# could sign as the vet. The server's own commands (SYSTEM) may, and hand it over.
MAKE_THEIR_OWN = frozenset({Role.COORDINATOR, Role.VET, Role.ASSESSOR})


@dataclass(frozen=True, slots=True)
class Issued:
    """A new token; ``raw`` is shown this once and is kept nowhere."""

    ref: UUID
    raw: str
    expires_at: datetime
    receipt: audit.Receipt


@dataclass(frozen=True, slots=True)
class _Asked:
    id: UUID | None
    person: UUID | None
    is_device: bool
    label: str
    until: datetime


def _read(viewer: Viewer, raw: Mapping[str, object], now: datetime) -> _Asked:
    reader = fields.Reader(raw)
    ref = reader.uuid("id")
    person = reader.uuid("person") or viewer.person
    label = reader.text("label", most=120, required=True)
    device = bool(reader.flag("device", default=False))
    until = reader.instant("until") or now + LASTS
    if until <= now:
        reader.refuse("until", "already_over")
    elif until > now + LONGEST:
        reader.refuse("until", "too_far_ahead", days=LONGEST.days)
    reader.finish()
    return _Asked(ref, person, device, label, until)


def _may_be_issued_to(viewer: Viewer, asked: _Asked, person: User | None, now: datetime) -> User:
    """Return the person whose token this may be, or raise NotAllowed or Invalid."""
    own = asked.person is not None and asked.person == viewer.person
    if not own and viewer.role is not Role.SYSTEM:
        doors.require(viewer, Verb.CHANGE_PEOPLE)
    if person is None:
        raise errors.Invalid(errors.FieldError("person", "unknown_reference"))
    if not (own or asked.is_device or viewer.role is Role.SYSTEM):
        raise errors.Invalid(errors.FieldError("person", "full_token_is_made_by_its_person"))
    if asked.is_device:
        role = viewers.role_of(viewer.organisation, person.id, now)
        if not viewers.carries_devices(role):
            raise errors.Invalid(errors.FieldError("person", "device_is_for_who_records"))
    return person


def issue_token(viewer: Viewer, raw: Mapping[str, object], *, now: datetime) -> Issued:
    """Make a token from ``{id, person, device, label, until}`` and return it this once.

    ``person`` is somebody of this organisation, by default the viewer. ``until`` is by default a
    year ahead. Coordinators make device tokens for anybody who may record; a full token is made by
    its own person. An ``id`` sent again raises Conflict: what is kept nowhere is not shown twice.
    """
    isolation.required(viewer)
    if viewer.role is not Role.SYSTEM and viewer.role not in MAKE_THEIR_OWN:
        raise errors.NotAllowed
    asked = _read(viewer, raw, now)
    person = _may_be_issued_to(viewer, asked, people.known_here(viewer, asked.person), now)
    secret = viewers.PREFIX + secrets.token_urlsafe(32)
    token, is_new = once.insert(
        Token(
            organisation_id=viewer.organisation,
            ref=once.new_ref(asked.id),
            person=person,
            is_device=asked.is_device,
            label=asked.label,
            digest=viewers.digest_of(secret),
            created_at=now,
            expires_at=asked.until,
        )
    )
    if not is_new:
        raise errors.Conflict(errors.FieldError("id", "token_shown_once"))
    made = once.made(
        viewer,
        verb="token.issued",
        target=("token", token.ref),
        content={
            "person": person.id,
            "device": asked.is_device,
            "label": asked.label,
            "until": asked.until,
        },
        at=now,
    )
    return Issued(token.ref, secret, asked.until, made.receipt)


def revoke_token(viewer: Viewer, ref: UUID, *, now: datetime) -> once.Made:
    """End a token from this instant on; one's own, or as coordinator anybody's.

    Ending it once more changes nothing and answers as the first time did.
    """
    isolation.required(viewer)
    token = (
        Token.objects.select_for_update(no_key=True)
        .filter(organisation_id=viewer.organisation, ref=ref)
        .first()
    )
    if token is None:
        raise errors.NotFound
    if token.person_id != viewer.person or viewer.role not in MAKE_THEIR_OWN:
        doors.require(viewer, Verb.CHANGE_PEOPLE)
    if token.revoked_at is not None:
        return once.Made(ref, True, audit.receipt_for(viewer, verb="token.revoked", target_ref=ref))
    token.revoked_at = now
    token.save(update_fields=["revoked_at"])
    return once.made(viewer, verb="token.revoked", target=("token", ref), content={}, at=now)
