"""Grants and tokens as tables."""

from dataclasses import replace
from datetime import datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext

from yards.pages import frame, sight_tables, tables, words
from yards.pages.tables import Cell, Link, Row, Table
from yards.queries import paging
from yards.queries.invitations import InvitationCard
from yards.queries.people import GrantCard, TokenCard
from yards.queries.roster import Listed
from yards.rules import invitation

# Our own choice: time enough to let somebody in anew before they are shut out.
SOON = timedelta(days=14)


def people(found: paging.Page[Listed], now: datetime, zone: str, *, over: bool) -> Table:
    """Return a page of grants."""
    state = "over" if over else None
    return Table(
        caption=gettext("Grants that have ended") if over else gettext("Grants in force"),
        columns=(
            gettext("Who"),
            gettext("Role"),
            gettext("May see"),
            gettext("From, until"),
            gettext("State"),
            gettext("Let in by"),
        ),
        rows=[_grant(each, now, zone) for each in found.items],
        empty=gettext("Nothing has ended yet") if over else gettext("Nobody is let in"),
        empty_hint=(
            gettext("A grant comes here when its time is up or when you end it.")
            if over
            else gettext("Let somebody in to begin.")
        ),
        onward=Link(reverse("yards:people"), gettext("Those in force")) if over else None,
        newer=_page(state, found.previous),
        older=_page(state, found.next),
    )


def of_person(found: list[Listed], now: datetime, zone: str) -> Table:
    """Return every grant of one person, those that have ended struck."""
    table = people(paging.Page(items=tuple(found), next=None, previous=None), now, zone, over=False)
    return replace(table, caption=gettext("Grants"), empty=gettext("No grant"))


def _page(state: str | None, cursor: str | None) -> str:
    return tables.query(state=state, cursor=cursor) if cursor else ""


def _grant(listed: Listed, now: datetime, zone: str) -> Row:
    card = listed.grant
    links = []
    if card.state(now) not in {"revoked", "ended"}:
        page = reverse("yards:revoke_grant", args=[card.ref])
        links.append(Link(page, gettext("End"), card.person.name))
    number = f"{card.registration_number}, {card.register}" if card.registration_number else ""
    by = card.issued_by.name if card.issued_by else gettext("the server")
    return Row(
        (
            Cell(card.person.name, card.email, reverse("yards:person", args=[card.person.id])),
            Cell(frame.role_label(card.role), number or sight_tables.bounds(card, zone)),
            _scope(listed),
            Cell(words.day(card.from_at, zone), _until(card, zone)),
            _state(listed, now, zone),
            Cell(by, card.reason),
        ),
        links,
    )


def _until(card: GrantCard, zone: str) -> str:
    if card.until_at is None:
        return gettext("no end")
    return gettext("until {at}").format(at=words.at(card.until_at, zone))


def _scope(listed: Listed) -> Cell:
    if listed.yards is None:
        return Cell(gettext("all yards"))
    yards, horses = ", ".join(listed.yards), ", ".join(listed.horses)
    return Cell(yards, horses) if yards else Cell(horses)


def _state(listed: Listed, now: datetime, zone: str) -> Cell:
    card: GrantCard = listed.grant
    state = card.state(now)
    if state == "revoked" and card.revoked_at is not None:
        said = (words.at(card.revoked_at, zone), listed.why_revoked)
        return Cell(gettext("Revoked"), ": ".join(each for each in said if each))
    if state == "ended":
        return Cell(gettext("Ended"), gettext("its time was up"))
    if state == "unconfirmed":
        return Cell(gettext("Waiting"), gettext("for the vet's own sign-in"), tag="due")
    if state == "not_begun":
        return Cell(gettext("Not begun"), tag="note")
    if card.until_at is not None and card.until_at - now <= SOON:
        return Cell(gettext("Ends soon"), tag="due")
    return Cell(gettext("In force"))


def tokens(
    found: paging.Page[TokenCard], now: datetime, zone: str, *, everybodys: bool, may_end: bool
) -> Table:
    """Return a page of tokens; ``everybodys`` says whose each is."""
    who = (gettext("Whose"),) if everybodys else ()
    return Table(
        caption=gettext("Tokens"),
        columns=(
            gettext("Label"),
            *who,
            gettext("For"),
            gettext("Made"),
            gettext("Until"),
            gettext("State"),
        ),
        rows=[_token(each, now, zone, everybodys, may_end) for each in found.items],
        empty=gettext("No tokens yet"),
        empty_hint=gettext(
            "Make one for a phone that records in the yard, or for a program of yours."
        )
        if may_end
        else gettext("An auditor has none of their own to make."),
        onward=Link(reverse("yards:issue_token"), gettext("Make a token"), go=True)
        if may_end
        else Link(reverse("yards:settings"), gettext("Your settings")),
        newer=_page(None, found.previous),
        older=_page(None, found.next),
    )


def _token(card: TokenCard, now: datetime, zone: str, everybodys: bool, may_end: bool) -> Row:
    state = card.state(now)
    links = []
    if may_end and state == "in_force":
        page = reverse("yards:revoke_token", args=[card.ref])
        links.append(Link(page, gettext("End"), card.label))
    return Row(
        (
            Cell(card.label),
            *((Cell(card.person.name),) if everybodys else ()),
            Cell(gettext("a phone")) if card.is_device else Cell(gettext("a program")),
            Cell(words.day(card.created_at, zone)),
            Cell(words.at(card.expires_at, zone)),
            _token_state(card, state, now, zone),
        ),
        links,
    )


def _token_state(card: TokenCard, state: str, now: datetime, zone: str) -> Cell:
    if state == "revoked" and card.revoked_at is not None:
        return Cell(gettext("Ended"), words.at(card.revoked_at, zone))
    if state == "ended":
        return Cell(gettext("Ended"), gettext("its time was up"))
    if card.expires_at - now <= SOON:
        return Cell(gettext("Ends soon"), tag="due")
    return Cell(gettext("In force"))


def invitations(found: paging.Page[InvitationCard], now: datetime, zone: str) -> Table:
    """Return a page of invitations."""
    return Table(
        caption=gettext("Invitations, newest first"),
        columns=(gettext("To"), gettext("Role"), gettext("Sent by"), gettext("State")),
        rows=[_invitation(each, now, zone) for each in found.items],
        empty=gettext("Nobody was invited yet"),
        empty_hint=gettext("An invitation lets somebody choose a password of their own."),
        onward=Link(reverse("yards:invite"), gettext("Invite somebody"), go=True),
        newer=_page(None, found.previous),
        older=_page(None, found.next),
    )


def _invitation(card: InvitationCard, now: datetime, zone: str) -> Row:
    state = card.state(now)
    ways = []
    if state in {*invitation.STANDING, invitation.OVER}:
        again = reverse("yards:send_invitation", args=[card.ref])
        ways.append(Link(again, gettext("Send again"), card.email))
    if state in invitation.STANDING:
        back = reverse("yards:withdraw_invitation", args=[card.ref])
        ways.append(Link(back, gettext("Withdraw"), card.email))
    return Row(
        (
            Cell(card.email),
            Cell(frame.role_label(card.role)),
            Cell(card.inviter.name, words.at(card.invited_at, zone)),
            _invited(card, state, zone),
        ),
        ways,
    )


def _invited(card: InvitationCard, state: str, zone: str) -> Cell:
    if state == invitation.ACCEPTED and card.accepted_at is not None:
        by = card.accepted_by.name if card.accepted_by is not None else ""
        return Cell(gettext("Accepted"), f"{by}, {words.at(card.accepted_at, zone)}")
    if state == invitation.WITHDRAWN and card.revoked_at is not None:
        return Cell(gettext("Withdrawn"), words.at(card.revoked_at, zone))
    if state == invitation.OVER:
        gone = card.sent_at is not None
        why = gettext("its link opens no more") if gone else gettext("its letter was not delivered")
        return Cell(gettext("Over"), why)
    if state == invitation.UNDELIVERED:
        return Cell(gettext("Not delivered"), gettext("check the address"), tag="due")
    until = gettext("opens until {at}").format(at=words.at(card.expires_at, zone))
    if state == invitation.UNSENT:
        return Cell(gettext("Waiting to be sent"), until, tag="note")
    return Cell(gettext("Sent"), until, tag="due")
