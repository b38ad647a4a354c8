"""Coming in by an invitation: it becomes an ordinary grant, by the rules of every grant."""

from dataclasses import replace
from datetime import datetime
from uuid import UUID

from yards import audit, isolation
from yards.access import viewers
from yards.access.invited import Invited
from yards.actions import grants, invitations, people
from yards.models import Grant, Invitation, User
from yards.queries import erasing
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Role, Viewer


def join_as_new(invited: Invited, *, name: str, password: str, now: datetime) -> UUID:
    """Make the person whom an invitation is for, with a password that was checked, and let them in.

    An edge's helper, called with no organisation open. Raises Conflict where somebody of this
    address signs in already: they do so first.
    """
    inviter = _inviter(invited, now)
    with isolation.of(inviter):
        # Before a person is made, as a grant for a new address does in this order.
        grants.one_at_a_time(inviter)
        person = people.find_or_make(email=invited.email, name=name, now=now)
        _require_not_erased(inviter, person.pk)
        if person.has_usable_password() or not person.is_active:
            raise errors.Conflict(FieldError("", "sign_in_first"))
        person.name = name
        person.set_password(password)
        person.save(update_fields=["name", "password"])
        return _joined(inviter, invited, person, now)


def join_as_known(invited: Invited, person: UUID, *, now: datetime) -> UUID:
    """Let in somebody who signs in already and is signed in now.

    An edge's helper, called with no organisation open. Raises Conflict for anybody but the person
    whom the invitation is for.
    """
    inviter = _inviter(invited, now)
    with isolation.of(inviter):
        # Before the invitation is locked, as an erasure does in this order.
        grants.one_at_a_time(inviter)
        _require_not_erased(inviter, person)
        user = User.objects.get(id=person)
        if user.email != invited.email or not user.is_active:
            raise errors.Conflict(FieldError("", "invited_somebody_else"))
        return _joined(inviter, invited, user, now)


def _inviter(invited: Invited, now: datetime) -> Viewer:
    """Return who invited, as they may act now; whoever may no longer let people in, lets in none.

    Raises Conflict where they have no grant any more.
    """
    try:
        viewer = viewers.viewer_of_person(invited.inviter, now, organisation=invited.organisation)
    except errors.NotSignedIn as gone:
        raise errors.Conflict(FieldError("", "inviter_may_not")) from gone
    if viewer.role is not Role.COORDINATOR:
        raise errors.Conflict(FieldError("", "inviter_may_not"))
    return replace(viewer, via="invitation")


def _require_not_erased(inviter: Viewer, person: UUID) -> None:
    """Raise Conflict for somebody whom the organisation has erased: here they have no address."""
    if erasing.is_erased(inviter, person):
        raise errors.Conflict(FieldError("", "you_were_erased"))


def _joined(inviter: Viewer, invited: Invited, person: User, now: datetime) -> UUID:
    """Issue the grant in the inviter's name, and mark the invitation used. Returns the person."""
    row = Invitation.objects.select_for_update(no_key=True).get(
        organisation_id=invited.organisation, ref=invited.ref
    )
    if row.accepted_at or row.revoked_at or row.expires_at <= now:
        raise errors.NotFound
    made = grants.issue_grant(inviter, {**row.body, "person": person.email}, now=now)
    row.accepted_at, row.accepted_by, row.digest = now, person, None
    row.grant = Grant.objects.get(organisation_id=invited.organisation, ref=made.ref)
    row.save(update_fields=["accepted_at", "accepted_by", "digest", "grant"])
    # Whoever holds the link reads the mail of this address.
    people.stand_by_address(person.pk)
    audit.record(
        Viewer(organisation=invited.organisation, role=Role.SYSTEM, person=person.pk, via="page"),
        verb=invitations.ACCEPTED,
        target=("invitation", invited.ref),
        payload={"grant": str(made.ref), "email": person.email},
        at=now,
    )
    return person.pk
