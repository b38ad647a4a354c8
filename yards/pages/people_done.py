"""What somebody has just done about people, said on the page that they are led back to.

The address names what was done; it is read through the same doors as anywhere else, and said for as
long as it is news.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.utils.translation import gettext, ngettext

from yards.pages import frame, news, words
from yards.queries import invitations, people
from yards.queries.yards import YardCard
from yards.rules import bidi, errors, grant, invitation
from yards.rules.roles import Viewer

INVITED, AGAIN, WITHDRAWN, LET_IN, ENDED = "invited", "again", "withdrawn", "let_in", "ended"


def said(
    request: HttpRequest, viewer: Viewer, places: Sequence[YardCard], zone: str, *, now: datetime
) -> str:
    """Return in a sentence what was just done; nothing where the address names nothing new."""
    named = news.named(request, _KINDS)
    if named is None:
        return ""
    kind, ref = named
    try:
        at, text = _KINDS[kind](viewer, ref, _Around(places, zone, now))
    except errors.Refused:
        return ""
    return text if at is not None and news.is_news(at, now) else ""


@dataclass(frozen=True, slots=True)
class _Around:
    """What a sentence is told with: the yards by name, the clock, and now."""

    places: Sequence[YardCard]
    zone: str
    now: datetime


_Said = tuple[datetime | None, str]


def _invited(viewer: Viewer, ref: UUID, around: _Around) -> _Said:
    card = invitations.get_invitation(viewer, ref)
    offered = card.offered
    told = offered.get("until")
    until = None if told is None else datetime.fromisoformat(told)
    text = gettext("A letter goes to {email} now: in as {role}, {where}, {until}.").format(
        email=bidi.isolated(card.email),
        role=_role(card.role, offered.get("registration_number"), offered.get("register")),
        where=_where(offered.get("yards"), offered.get("horses", ()), around.places),
        until=_until(until, around.zone),
    )
    if card.expires_at != until:
        link = gettext("Its link opens once, until {end}.")
        text = f"{text} {link.format(end=words.at(card.expires_at, around.zone))}"
    return card.invited_at, text


def _again(viewer: Viewer, ref: UUID, around: _Around) -> _Said:
    card = invitations.get_invitation(viewer, ref)
    text = gettext("A new letter goes to {email}. Its link opens once, until {end}.")
    end = words.at(card.expires_at, around.zone)
    # A letter that has gone is news from then on; one that waits, for as long as it does.
    goes = card.state(around.now) in {invitation.UNSENT, invitation.OPEN}
    at = (card.sent_at or around.now) if goes else None
    return at, text.format(email=bidi.isolated(card.email), end=end)


def _withdrawn(viewer: Viewer, ref: UUID, _around: _Around) -> _Said:
    card = invitations.get_invitation(viewer, ref)
    text = gettext("The invitation to {email} is withdrawn: its link opens nothing any more.")
    return card.revoked_at, text.format(email=bidi.isolated(card.email))


def _let_in(viewer: Viewer, ref: UUID, around: _Around) -> _Said:
    card = people.get_grant(viewer, ref)
    text = gettext("{name} is let in as {role}, {where}, {until}.").format(
        name=bidi.isolated(card.person.name),
        role=_role(card.role, card.registration_number, card.register),
        where=_where(grant.ALL if card.yards is None else card.yards, card.horses, around.places),
        until=_until(card.until_at, around.zone),
    )
    if card.role == "vet" and card.confirmed_at is None:
        waits = gettext("It counts from their next sign-in with their own password.")
        text = f"{text} {waits}"
    return card.issued_at, text


def _ended(viewer: Viewer, ref: UUID, _around: _Around) -> _Said:
    card = people.get_grant(viewer, ref)
    text = gettext("The access of {name} as {role} has ended.")
    role = frame.role_label(card.role)
    return card.revoked_at, text.format(name=bidi.isolated(card.person.name), role=role)


def _role(role: str, number: str | None, register: str | None) -> str:
    label = frame.role_label(role)
    if not number:
        return label
    held = {"number": bidi.isolated(number), "register": bidi.isolated(register or "")}
    return gettext("{role} (number {number}, {register})").format(role=label, **held)


def _where(yards: Any, horses: Sequence[Any], places: Sequence[YardCard]) -> str:
    if yards == grant.ALL:
        return gettext("all yards")
    named = {str(each) for each in yards or ()}
    parts = [bidi.isolated(each.name) for each in places if str(each.ref) in named]
    if horses:
        n = len(horses)
        parts.append(ngettext("{n} horse", "{n} horses", n).format(n=n))
    return ", ".join(parts)


def _until(at: datetime | None, zone: str) -> str:
    if at is None:
        return gettext("until you end it")
    return gettext("until {at}").format(at=words.at(at, zone))


_KINDS: Mapping[str, Callable[[Viewer, UUID, _Around], _Said]] = {
    INVITED: _invited,
    AGAIN: _again,
    WITHDRAWN: _withdrawn,
    LET_IN: _let_in,
    ENDED: _ended,
}
