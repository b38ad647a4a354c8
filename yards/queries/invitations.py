"""Invitations: as coordinators list them, and what one offers to whoever holds its link."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from yards import isolation
from yards.access import doors, zones
from yards.models import Horse, Invitation, Letter, Organisation, User, Yard
from yards.queries import paging
from yards.queries.people import PersonName, name_of
from yards.rules import errors, grant, invitation
from yards.rules.roles import Role, Verb, Viewer


@dataclass(frozen=True, slots=True)
class InvitationCard:
    """One invitation, without its link: nobody sees that but the reader of the mail.

    ``offered`` is the grant as the contract has it, without the person; ``waits`` says whether a
    letter of it is still to go.
    """

    ref: UUID
    email: str
    role: str
    offered: Mapping[str, Any]
    inviter: PersonName
    invited_at: datetime
    expires_at: datetime
    sent_at: datetime | None
    waits: bool
    accepted_at: datetime | None
    accepted_by: PersonName | None
    revoked_at: datetime | None

    def state(self, now: datetime) -> str:
        """Return what has become of it: one of the rule's ``STATES``."""
        if self.accepted_at is not None:
            return invitation.ACCEPTED
        if self.revoked_at is not None:
            return invitation.WITHDRAWN
        if self.expires_at <= now:
            return invitation.OVER
        if self.sent_at is not None:
            return invitation.OPEN
        return invitation.UNSENT if self.waits else invitation.UNDELIVERED


@dataclass(frozen=True, slots=True)
class Offer:
    """What an invitation offers.

    ``yards`` None is every yard; ``zone`` is the first yard's, by whose clock it is told;
    ``knows_password`` says whether somebody of this address signs in already.
    """

    organisation: str
    inviter: str
    email: str
    role: str
    yards: tuple[str, ...] | None
    horses: tuple[str, ...]
    from_at: datetime | None
    until_at: datetime | None
    reason: str
    registration_number: str
    register: str
    expires_at: datetime
    zone: str
    person: UUID | None
    knows_password: bool


def list_invitations(
    viewer: Viewer, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[InvitationCard]:
    """Return the organisation's invitations, newest first."""
    doors.require(viewer, Verb.READ_PEOPLE)
    return paging.page_of(
        viewer,
        Invitation.objects.filter(organisation_id=viewer.organisation).select_related(
            "invited_by", "accepted_by"
        ),
        _cards,
        name="invitations",
        cursor=cursor,
        size=size,
    )


def get_invitation(viewer: Viewer, ref: UUID) -> InvitationCard:
    """Return one invitation, or raise NotFound or NotAllowed."""
    rows = Invitation.objects.filter(organisation_id=viewer.organisation, ref=ref)
    row = rows.select_related("invited_by", "accepted_by").first()
    if row is None:
        raise errors.NotFound
    doors.require(viewer, Verb.READ_PEOPLE)
    [card] = _cards([row])
    return card


def _cards(rows: list[Invitation]) -> list[InvitationCard]:
    """Return invitations with what became of their letters, in one query: those are no tenant's."""
    refs = [row.ref for row in rows if row.sent_at is None]
    waiting = set(Letter.objects.filter(about__in=refs).values_list("organisation", "about"))
    return [_card(row, (row.organisation_id, row.ref) in waiting) for row in rows]


def _card(row: Invitation, waits: bool) -> InvitationCard:
    return InvitationCard(
        ref=row.ref,
        email=row.email,
        role=row.role,
        offered=row.body,
        inviter=PersonName(row.invited_by.id, row.invited_by.name),
        invited_at=row.invited_at,
        expires_at=row.expires_at,
        sent_at=row.sent_at,
        waits=waits,
        accepted_at=row.accepted_at,
        accepted_by=name_of(row.accepted_by),
        revoked_at=row.revoked_at,
    )


def offer(viewer: Viewer, ref: UUID) -> Offer:
    """Return what an invitation offers; for the service itself, which shows it to whom it is for.

    Raises NotAllowed for anybody else, NotFound for no such invitation.
    """
    isolation.required(viewer)
    if viewer.role is not Role.SYSTEM:
        raise errors.NotAllowed
    rows = Invitation.objects.filter(organisation_id=viewer.organisation, ref=ref)
    row = rows.select_related("invited_by").first()
    if row is None:
        raise errors.NotFound
    body: Mapping[str, Any] = row.body
    person = User.objects.filter(email=row.email).first()
    yards = None if body.get("yards") == grant.ALL else tuple(body.get("yards", ()))
    named = Yard.objects.filter(ref__in=yards or ()).order_by("name_key", "id")
    horses = Horse.objects.filter(ref__in=body.get("horses", ())).order_by("name_key", "id")
    return Offer(
        organisation=Organisation.objects.get(id=viewer.organisation).name,
        inviter=row.invited_by.name,
        email=row.email,
        role=row.role,
        yards=None if yards is None else tuple(named.values_list("name", flat=True)),
        horses=tuple(horses.values_list("name", flat=True)),
        from_at=_instant(body.get("from")),
        until_at=_instant(body.get("until")),
        reason=body.get("reason", ""),
        registration_number=body.get("registration_number", ""),
        register=body.get("register", ""),
        expires_at=row.expires_at,
        zone=zones.first(named if yards else None),
        person=person.id if person is not None else None,
        knows_password=person is not None and person.has_usable_password(),
    )


def _instant(told: str | None) -> datetime | None:
    return None if told is None else datetime.fromisoformat(told)
