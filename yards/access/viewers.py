"""From a presented token or a signed-in person to a Viewer, as allowed at this moment."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from yards import isolation
from yards.access import ended, grants, opened, sight
from yards.models import Grant, Token, rows
from yards.rules import errors
from yards.rules.roles import MAY, SECOND_FACTOR, STRENGTH, Role, Verb, Viewer

PREFIX = "hp_"
_TOKEN = f"""SELECT {rows.columns(Token, "token")} FROM yards_token token
    WHERE token.digest = %(digest)s
    AND token.revoked_at IS NULL
    AND token.expires_at > %(now)s"""  # noqa: S608 - constants only


@dataclass(frozen=True, slots=True)
class Membership:
    """An organisation that a person may enter now."""

    id: UUID
    name: str
    second_factor: bool = False


def digest_of(raw: str) -> bytes:
    """Return the SHA-256 digest that stands for a token in the table."""
    return hashlib.sha256(raw.encode()).digest()


def _union(held: Sequence[Grant]) -> tuple[Role, list[Grant]]:
    """Pick the strongest role held, and every grant of that role."""
    for role in STRENGTH:
        chosen = [grant for grant in held if grant.role == role]
        if chosen:
            return role, chosen
    raise errors.NotSignedIn


def role_of(organisation: UUID, person: UUID, now: datetime) -> Role | None:
    """Return the role that a person acts under in an organisation now; None without a grant."""
    try:
        return _union(grants.held_by(person, now, organisation))[0]
    except errors.NotSignedIn:
        return None


def carries_devices(role: Role | None) -> bool:
    """Return whether somebody of this role may record by phone: only who may record at all."""
    return role is not None and Verb.RECORD_READINGS in MAY[role]


def _viewer(
    held: Sequence[Grant], now: datetime, *, token: Token | None = None, looking: bool = False
) -> Viewer:
    """Return the viewer that grants in force make of their person, in the organisation entered."""
    role, chosen = _union(held)
    is_device = token is not None and token.is_device
    if is_device and not carries_devices(role):
        raise errors.NotSignedIn
    organisation, person = chosen[0].organisation, chosen[0].person_id
    found = opened.by(chosen, person, now)
    asked = token is None and organisation.second_factor and role in SECOND_FACTOR
    viewer = Viewer(
        organisation=organisation.id,
        role=Role.DEVICE if is_device else role,
        person=person,
        token=token.ref if token is not None else None,
        yards=found.yards,
        horses=found.horses,
        via="api" if token is not None else "page",
        expires_at=_end_of(chosen, token),
        hidden=found.hidden,
        needs_second_factor=asked and not found.has_second_factor,
        **sight.of_grants(chosen),
    )
    return sight.widened(viewer, found.glass) if looking and found.glass is not None else viewer


def _end_of(held: Sequence[Grant], token: Token | None) -> datetime | None:
    """Return when the last of the grants ends, or the token if that is sooner; None for never."""
    ends = [grant.until_at for grant in held]
    until = None if None in ends else max(end for end in ends if end is not None)
    if token is None:
        return until
    return min(token.expires_at, until) if until else token.expires_at


def viewer_of_token(raw: str, now: datetime) -> Viewer:
    """Return the viewer behind a presented token.

    Raises NotSignedIn for a token that is unknown, expired or revoked, whose person is disabled or
    holds no grant in force, or for a device whose person may not record any more: all alike.
    """
    digest = digest_of(raw)
    with isolation.door(token_digest=digest):
        token = next(rows.read(_TOKEN, {"digest": digest, "now": now}, Token), None)
        if token is None:
            raise errors.NotSignedIn
        isolation.enter(token.organisation_id, token.person_id)
        held = grants.held_by(token.person_id, now, token.organisation_id)
        return _viewer(held, now, token=token)


def viewer_of_person(
    person: UUID, now: datetime, *, organisation: UUID | None = None, looking: bool = False
) -> Viewer:
    """Return the viewer that a signed-in person is in one of their organisations.

    ``organisation`` None takes the first by name. ``looking`` is for requests that write nothing:
    a break-glass in force widens them, and them only. Raises NotSignedIn without a grant in force.
    The viewer says whether a second factor is asked that the person lacks; pages and sessions on
    the REST surface let them no further. Tokens are not asked: their person signed in to make them.
    """
    with isolation.door(person=person):
        held = grants.held_by(person, now, organisation)
        if not held:
            raise ended.refusal(person, now, organisation)
        first = held[0].organisation_id
        isolation.enter(first, person)
        here = [each for each in held if each.organisation_id == first]
        return _viewer(here, now, looking=looking)


def memberships(person: UUID, now: datetime) -> list[Membership]:
    """Return the organisations that a person may enter now, by name."""
    with isolation.door(person=person):
        return _memberships(person, now)


def own_memberships(viewer: Viewer, now: datetime) -> list[Membership]:
    """Return where else the viewer's person is let in, with an organisation open, by name.

    The doors let a person's own grants and their organisations through wherever they are asked.
    """
    isolation.required(viewer)
    return [] if viewer.person is None else _memberships(viewer.person, now)


def _memberships(person: UUID, now: datetime) -> list[Membership]:
    found = {each.organisation_id: each.organisation for each in grants.held_by(person, now)}
    return [Membership(each.id, each.name, each.second_factor) for each in found.values()]
