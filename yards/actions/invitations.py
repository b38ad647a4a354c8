"""Inviting people by mail: offered, sent anew, withdrawn."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from yards import isolation
from yards.access import doors
from yards.actions import grants, letters, once, people
from yards.models import Invitation, User
from yards.rules import errors, grant
from yards.rules import invitation as rule
from yards.rules.errors import FieldError
from yards.rules.fields import Reader
from yards.rules.roles import Role, Verb, Viewer

MADE, SENT_AGAIN, WITHDRAWN = "invitation.made", "invitation.sent_again", "invitation.withdrawn"
ACCEPTED = "invitation.accepted"
_BARE: Mapping[str, Any] = {}


def invite(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """Invite an e-mail address from ``{id, email, hours, ...}`` and the grant's own fields.

    The letter is a row of this transaction, sent by the worker after it. ``hours`` is how long the
    link opens, by default 72. Same id and content: a replay, and no second letter.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    facts = rule.check(raw, now=now)
    if not people.is_address(facts.email):
        raise errors.Invalid(FieldError("email", "not_an_email"))
    grants.scope(viewer, facts.offered)
    _require_another(viewer, facts)
    content = {**facts.body(), "email": facts.email, "hours": facts.hours}
    ref = once.new_ref(facts.id)
    row, is_new = once.insert(
        Invitation(
            organisation_id=viewer.organisation,
            ref=ref,
            email=facts.email,
            role=facts.offered.role,
            body=facts.body(),
            invited_by_id=doors.person_of(viewer),
            invited_at=now,
            hours=facts.hours,
            expires_at=facts.expires_at(now),
        )
    )
    if not is_new:
        return once.replayed(viewer, verb=MADE, ref=ref, content=content)
    letters.of_invitation(viewer, row.ref, now=now)
    return once.made(viewer, verb=MADE, target=("invitation", ref), content=content, at=now)


def _require_another(viewer: Viewer, facts: rule.InvitationFacts) -> None:
    """Refuse a vet's grant for oneself, as the grant itself would be."""
    own = User.objects.filter(id=doors.person_of(viewer), email=facts.email)
    if facts.offered.role == Role.VET and own.exists():
        raise errors.Invalid(FieldError("email", "vet_grant_by_another"))


def open_for_write(viewer: Viewer, ref: UUID) -> Invitation:
    """Return an invitation locked for change, or raise NotFound, NotAllowed, or Conflict when it
    was accepted."""
    row = (
        Invitation.objects.select_for_update(no_key=True)
        .filter(organisation_id=viewer.organisation, ref=ref)
        .first()
    )
    if row is None:
        raise errors.NotFound
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    if row.accepted_at is not None:
        raise errors.Conflict(FieldError("", "invitation_accepted"))
    return row


def send_again(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any] = _BARE, *, now: datetime
) -> once.Made:
    """Send a new link in place of the one before, which opens nothing from now on.

    It opens for as long as whoever invited chose. ``raw`` may hold a ``reason``.
    """
    isolation.required(viewer)
    row = open_for_write(viewer, ref)
    why = _why(raw)
    if row.revoked_at is not None:
        raise errors.Conflict(FieldError("", "invitation_withdrawn"))
    facts = rule.check({**row.body, "email": row.email, "hours": row.hours}, now=now)
    row.link, row.digest, row.sent_at = row.link + 1, None, None
    row.expires_at = facts.expires_at(now)
    row.save(update_fields=["link", "digest", "sent_at", "expires_at"])
    letters.of_invitation(viewer, row.ref, now=now)
    return once.made(
        viewer,
        verb=SENT_AGAIN,
        target=("invitation", ref),
        content={"link": row.link, **why},
        at=now,
    )


def withdraw(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any] = _BARE, *, now: datetime
) -> once.Made:
    """Withdraw an invitation: its link opens nothing from this instant on.

    Withdrawing it once more changes nothing and answers as the first time did. ``raw`` may hold
    a ``reason``.
    """
    isolation.required(viewer)
    row = open_for_write(viewer, ref)
    why = _why(raw)
    if row.revoked_at is not None:
        return once.Made(ref, True, once.receipt(viewer, verb=WITHDRAWN, ref=ref))
    row.revoked_at, row.revoked_by_id, row.digest = now, viewer.person, None
    row.save(update_fields=["revoked_at", "revoked_by", "digest"])
    return once.made(viewer, verb=WITHDRAWN, target=("invitation", ref), content=why, at=now)


def _why(raw: Mapping[str, Any]) -> dict[str, str]:
    """Return what the record keeps of why; nothing where nothing is said."""
    reader = Reader(raw)
    reason = reader.text("reason", most=grant.REASON_MOST)
    reader.finish()
    return {"reason": reason} if reason else {}
