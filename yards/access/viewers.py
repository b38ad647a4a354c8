"""From a presented token or a signed-in person to a Viewer, as allowed at this moment."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime
from uuid import UUID

from allauth.mfa.models import Authenticator
from django.db import connection
from django.db.models import QuerySet

from yards import isolation
from yards.access import ended, sight
from yards.access.grants import in_force_at
from yards.models import Grant, Organisation, Token
from yards.rules import errors
from yards.rules.roles import MAY, SECOND_FACTOR, STRENGTH, Role, Verb, Viewer

PREFIX = "hp_"
_SCOPE = """
SELECT yard_id, NULL FROM yards_grantyard WHERE grant_id = ANY(%s)
UNION ALL SELECT NULL, horse_id FROM yards_granthorse WHERE grant_id = ANY(%s)
"""

_BY_ORGANISATION = ("organisation__name_key", "organisation_id", "id")


@dataclass(frozen=True, slots=True)
class Membership:
    """An organisation that a person may enter now."""

    id: UUID
    name: str
    second_factor: bool = False


def digest_of(raw: str) -> bytes:
    """Return the SHA-256 digest that stands for a token in the table."""
    return hashlib.sha256(raw.encode()).digest()


def _active(person: UUID, now: datetime) -> QuerySet[Grant]:
    """Return a person's grants in force; a disabled person has none."""
    return Grant.objects.filter(in_force_at(now), person_id=person, person__is_active=True)


def _union(grants: Iterable[Grant]) -> tuple[Role, list[Grant]]:
    """Pick the strongest role held, and every grant of that role."""
    held = list(grants)
    for role in STRENGTH:
        chosen = [grant for grant in held if grant.role == role]
        if chosen:
            return role, chosen
    raise errors.NotSignedIn


def role_of(organisation: UUID, person: UUID, now: datetime) -> Role | None:
    """Return the role that a person acts under in an organisation now; None without a grant."""
    try:
        return _union(_active(person, now).filter(organisation_id=organisation))[0]
    except errors.NotSignedIn:
        return None


def carries_devices(role: Role | None) -> bool:
    """Return whether somebody of this role may record by phone: only who may record at all."""
    return role is not None and Verb.RECORD_READINGS in MAY[role]


def _scope(grants: list[Grant]) -> tuple[frozenset[int] | None, frozenset[int]]:
    """Return the yards and the single horses that grants open, by their keys; None for all."""
    if any(grant.all_yards for grant in grants):
        return None, frozenset()
    keys = [grant.id for grant in grants]
    with connection.cursor() as cursor:
        cursor.execute(_SCOPE, [keys, keys])
        rows = cursor.fetchall()
    yards = frozenset(yard for yard, _ in rows if yard is not None)
    return yards, frozenset(horse for _, horse in rows if horse is not None)


def _viewer(
    organisation: UUID, person: UUID, grants: Iterable[Grant], *, via: str, token: Token | None
) -> Viewer:
    """Return the viewer that grants in force make of a person, in the organisation just entered."""
    role, grants = _union(grants)
    is_device = token is not None and token.is_device
    if is_device and not carries_devices(role):
        raise errors.NotSignedIn
    yards, horses = _scope(grants)
    ends = [grant.until_at for grant in grants]
    until = None if None in ends else max(end for end in ends if end is not None)
    if token is not None:
        until = min(token.expires_at, until) if until else token.expires_at
    return Viewer(
        organisation=organisation,
        role=Role.DEVICE if is_device else role,
        person=person,
        token=token.ref if token is not None else None,
        yards=yards,
        horses=horses,
        via=via,
        expires_at=until,
        hidden=sight.hidden_from(person),
        **sight.of_grants(grants),
    )


def viewer_of_token(raw: str, now: datetime) -> Viewer:
    """Return the viewer behind a presented token.

    Raises NotSignedIn for a token that is unknown, expired or revoked, whose person is disabled or
    holds no grant in force, or for a device whose person may not record any more: all alike.
    """
    digest = digest_of(raw)
    with isolation.door(token_digest=digest):
        token = Token.objects.filter(
            digest=digest, revoked_at__isnull=True, expires_at__gt=now
        ).first()
        if token is None:
            raise errors.NotSignedIn
        organisation, person = token.organisation_id, token.person_id
        isolation.enter(organisation, person)
        grants = _active(person, now).filter(organisation_id=organisation)
        return _viewer(organisation, person, grants, via="api", token=token)


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
        held = _active(person, now).select_related("organisation").order_by(*_BY_ORGANISATION)
        chosen = [each for each in held if organisation in {None, each.organisation_id}]
        if not chosen:
            raise ended.refusal(person, now, organisation)
        entered = chosen[0].organisation
        isolation.enter(entered.id, person)
        grants = [each for each in chosen if each.organisation_id == entered.id]
        viewer = _viewer(entered.id, person, grants, via="page", token=None)
        asked = entered.second_factor and viewer.role in SECOND_FACTOR
        viewer = replace(viewer, needs_second_factor=asked and not _has_second_factor(person))
        return sight.widened(viewer, now) if looking else viewer


def _has_second_factor(person: UUID) -> bool:
    """Return whether a person signs in by an app or a key besides the password."""
    kinds = [Authenticator.Type.TOTP, Authenticator.Type.WEBAUTHN]
    return bool(Authenticator.objects.filter(user_id=person, type__in=kinds).exists())


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
    granted = _active(person, now).values("organisation_id")
    found = Organisation.objects.filter(id__in=granted).order_by("name_key", "id")
    return [Membership(each.id, each.name, each.second_factor) for each in found]
