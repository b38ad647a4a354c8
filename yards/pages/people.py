"""People: who is let in, to what, until when; letting in, and ending it."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from yards.access import doors
from yards.actions import grants as actions
from yards.pages import (
    clocks,
    day_grants,
    forms,
    frame,
    grant_asked,
    news,
    people_done,
    people_tables,
    sheets,
    tables,
    words,
)
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.queries import people as queries
from yards.queries import roster, yards
from yards.rules import bidi, errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer, may

OVER = "over"


@require_safe
@screen("people")
def people(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List the grants, those in force or those that have ended."""
    over = request.GET.get("state") == OVER
    found = roster.list_people(viewer, now=now, over=over, cursor=request.GET.get("cursor"))
    places = yards.all_yards(viewer)
    zone = clocks.zone_of(places)
    context: dict[str, Any] = {
        "title": gettext("People"),
        "said": people_done.said(request, viewer, places, zone, now=now),
        "links": (
            tables.Link(reverse("yards:invite"), gettext("Invite somebody"), go=True),
            tables.Link(reverse("yards:invite_vet"), gettext("Invite a new vet for today")),
            tables.Link(reverse("yards:issue_grant"), gettext("Let somebody in")),
            tables.Link(reverse("yards:invitations"), gettext("Invitations")),
            tables.Link(reverse("yards:tokens"), gettext("Tokens")),
            tables.Link(reverse("scoring:absences"), gettext("Who is away")),
            tables.Link(reverse("yards:glass"), gettext("Break-glass")),
            tables.Link(reverse("scoring:policies"), gettext("Who is told, and when")),
        ),
        "filters": [{"label": gettext("In force or ended"), "choices": _states(over)}],
        "table": people_tables.people(found, now, zone, over=over),
        "note": f"{_no_password()} {clocks.named(zone)}",
    }
    if may(viewer, Verb.CHANGE_PEOPLE) and not over:
        context |= {
            "today": day_grants.form_of(viewer),
            "today_id": forms.new_id(),
            "today_sheet": sheets.Sheet({}),
        }
    return frame.page(
        request, viewer, "yards/people.html", context, now=now, zone=zone, current="yards:people"
    )


def _states(over: bool) -> list[tables.Filter]:
    return [
        tables.Filter("?", gettext("In force"), not over),
        tables.Filter(tables.query(state=OVER), gettext("Ended"), over),
    ]


def _no_password() -> str:
    return gettext(
        "Somebody new comes in by an invitation: a link by mail, by which they choose a password. "
        "Letting somebody in without one is for those who sign in here already, and for phones "
        "that record by a token."
    )


@require_http_methods(forms.METHODS)
@screen("grant", "grant", sure=Sure(Verb.CHANGE_PEOPLE))
def issue_grant(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Let somebody in."""
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    places = yards.all_yards(viewer)
    zone = clocks.zone_of(places)
    form = forms.Form(
        title=gettext("Let somebody in"),
        lead=_no_password(),
        controls=(
            *_who(),
            *grant_asked.scope(viewer, places),
            *grant_asked.times(zone),
            *grant_asked.vets_number(),
            *grant_asked.sight(),
        ),
        submit=gettext("Let them in"),
        back=(reverse("yards:people"), gettext("People")),
        zone=zone,
        current="yards:people",
    )

    def act(raw: dict[str, Any]) -> str:
        try:
            made = actions.issue_grant(viewer, _body(raw), now=now)
        except errors.Invalid as refused:
            raise errors.Invalid(*map(_as_asked, refused.errors)) from refused
        return news.told(reverse("yards:people"), people_done.LET_IN, made.ref)

    return forms.answered(request, viewer, form, act, now=now)


def _who() -> tuple[Control, ...]:
    return (
        Control(
            "person",
            gettext("E-mail address"),
            "email",
            hint=gettext("Whoever has had a grant before is known by it."),
        ),
        Control("name", gettext("Name"), hint=gettext("Somebody known already keeps their name.")),
        grant_asked.role(),
    )


def _body(raw: dict[str, Any]) -> dict[str, Any]:
    """Return the contract's body; a name goes along only with an address."""
    said = grant_asked.body(raw)
    if "@" not in str(said.get("person")):
        said.pop("name", None)
    return said


def _as_asked(fault: FieldError) -> FieldError:
    """Return a fault as the page asks: it knows people by e-mail only."""
    if fault.field == "person" and fault.key == "not_an_id":
        return FieldError("person", "not_an_email")
    return fault


@require_http_methods(forms.METHODS)
@screen("grant", "grant", sure=Sure(Verb.CHANGE_PEOPLE))
def revoke_grant(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """End a grant from now on."""
    card = queries.get_grant(viewer, id)
    zone = clocks.zone_of(yards.all_yards(viewer))
    lead = gettext(
        "{name} is refused from the next click on, with every phone and program of theirs. What "
        "they recorded stays. This cannot be undone; you can let them in again."
    )
    gone = gettext("This was ended on {day}. Nothing more needs doing.")
    form = forms.Form(
        title=gettext("End the grant of {name}").format(name=bidi.isolated(card.person.name)),
        lead=(
            lead.format(name=bidi.isolated(card.person.name))
            if card.revoked_at is None
            else gone.format(day=words.day(card.revoked_at, zone))
        ),
        controls=(Control("reason", gettext("Why"), hint=gettext("Kept in the record.")),),
        submit=gettext("End it now"),
        back=(reverse("yards:people"), gettext("People")),
        zone=zone,
        current="yards:people",
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.revoke_grant(viewer, id, raw, now=now)
        over = reverse("yards:people") + tables.query(state=OVER)
        return news.told(over, people_done.ENDED, id)

    return forms.answered(request, viewer, form, act, now=now)
