"""Tokens: what lets a phone or a program in without a password. One's own, or everybody's."""

import functools
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from yards.actions import tokens as actions
from yards.pages import clocks, forms, frame, people_tables, tables, words
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.queries import people as queries
from yards.queries import roster, yards
from yards.rules import bidi, errors
from yards.rules.roles import Verb, Viewer, may

PHONE, PROGRAM = "true", "false"


@require_safe
@screen("tokens")
def tokens(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List one's own tokens, or as coordinator everybody's."""
    everybodys = may(viewer, Verb.READ_PEOPLE)
    asked = queries.list_tokens if everybodys else queries.list_own_tokens
    found = asked(viewer, cursor=request.GET.get("cursor"))
    makes = viewer.role in actions.MAKE_THEIR_OWN
    zone = clocks.zone_of(yards.all_yards(viewer))
    make = tables.Link(reverse("yards:issue_token"), gettext("Make a token"), go=True)
    context = {
        "title": gettext("Tokens"),
        "lead": gettext(
            "A token lets a phone or a program in without a password. A phone's may only record, "
            "and read back what it recorded. Lost the phone? End its token."
        ),
        "links": (make,) if makes else (),
        "table": people_tables.tokens(found, now, zone, everybodys=everybodys, may_end=makes),
        "note": clocks.named(zone),
    }
    return frame.page(request, viewer, "yards/list.html", context, now=now, zone=zone)


@require_http_methods(forms.METHODS)
@screen("token", "token", sure=Sure(Verb.READ_SELF))
def issue_token(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Make a token; its secret is shown in the answer, this once."""
    if viewer.role not in actions.MAKE_THEIR_OWN:
        raise errors.NotAllowed
    zone = clocks.zone_of(yards.all_yards(viewer))
    form = forms.Form(
        title=gettext("Make a token"),
        lead=gettext("Its secret is shown once, on the next page. Have the phone at hand."),
        controls=_controls(viewer, now, zone),
        submit=gettext("Make it"),
        back=(reverse("yards:tokens"), gettext("Tokens")),
        start={"device": PHONE, "person": str(viewer.person)},
        zone=zone,
    )

    shown = functools.partial(
        frame.page, request, viewer, "yards/token_made.html", now=now, zone=zone
    )

    def act(raw: dict[str, Any]) -> HttpResponse:
        # Whatever is not said to be a program is a phone, which may do less.
        asked = {**raw, "device": raw.get("device") != PROGRAM}
        try:
            made = actions.issue_token(viewer, asked, now=now)
        except errors.Conflict:
            return shown({"again": True}, status=409)
        return shown(
            {
                "secret": made.raw,
                "label": raw["label"],
                "is_phone": asked["device"],
                "until": words.at(made.expires_at, zone),
                "zone": zone,
            }
        )

    return forms.answered(request, viewer, form, act, now=now)


def _controls(viewer: Viewer, now: datetime, zone: str) -> tuple[Control, ...]:
    whose: tuple[Control, ...] = ()
    if may(viewer, Verb.CHANGE_PEOPLE):
        people = [
            (str(each.id), bidi.isolated(each.name)) for each in roster.who_records(viewer, now=now)
        ]
        hint = gettext("Readings are recorded in this name. A program's token is only your own.")
        whose = (Control("person", gettext("Whose"), "pick", hint, people),)
    return (
        Control("label", gettext("Label"), hint=gettext("So that you know it: Barn phone")),
        Control(
            "device",
            gettext("What is it for?"),
            "segments",
            choices=(
                (PHONE, gettext("A phone: records only")),
                (PROGRAM, gettext("A program: does what you may")),
            ),
        ),
        *whose,
        Control(
            "until",
            gettext("Until"),
            "moment",
            " ".join(
                (gettext("Empty: a year from now. Two years at most."), clocks.named(zone)),
            ),
        ),
    )


@require_http_methods(forms.METHODS)
@screen("token", "token", sure=Sure(Verb.READ_SELF))
def revoke_token(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """End a token from now on: one's own, or as coordinator anybody's."""
    card = queries.get_token(viewer, id)
    if viewer.role not in actions.MAKE_THEIR_OWN:
        raise errors.NotAllowed
    form = forms.Form(
        title=gettext("End “{label}”").format(label=card.label),
        lead=gettext(
            "Token of {name}. The phone or program that holds it is refused from now on. What it "
            "recorded stays. This cannot be undone; make a new token when you need one."
        ).format(name=bidi.isolated(card.person.name)),
        controls=(),
        submit=gettext("End it now"),
        back=(reverse("yards:tokens"), gettext("Tokens")),
        zone=clocks.zone_of(yards.all_yards(viewer)),
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.revoke_token(viewer, id, now=now)
        return reverse("yards:tokens")

    return forms.answered(request, viewer, form, act, now=now)
