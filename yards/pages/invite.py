"""Inviting people by mail: anybody, or a vet for today; what was sent, sent again, withdrawn."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from yards.access import doors
from yards.actions import day_grants
from yards.actions import invitations as actions
from yards.pages import clocks, forms, grant_asked, news, people_done, people_tables, words
from yards.pages import frame as around
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.pages.tables import Link
from yards.queries import invitations as queries
from yards.queries import roster, yards
from yards.rules import bidi, grant, invitation
from yards.rules.roles import Role, Verb, Viewer

DAY_HOURS = 24


def _back() -> tuple[str, str]:
    return reverse("yards:invitations"), gettext("Invitations")


def _people() -> tuple[str, str]:
    return reverse("yards:people"), gettext("People")


@require_safe
@screen("invitations")
def invitations(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List what was sent, and what became of it."""
    found = queries.list_invitations(viewer, cursor=request.GET.get("cursor"))
    places = yards.all_yards(viewer)
    zone = clocks.zone_of(places)
    context = {
        "title": gettext("Invitations"),
        "said": people_done.said(request, viewer, places, zone, now=now),
        "lead": gettext(
            "Each letter holds one link. It opens once, for whoever reads mail at that address."
        ),
        "links": (
            Link(reverse("yards:invite"), gettext("Invite somebody"), go=True),
            Link(reverse("yards:invite_vet"), gettext("Invite a new vet for today")),
        ),
        "back": _people(),
        "table": people_tables.invitations(found, now, zone),
        "note": clocks.named(zone),
    }
    return around.page(
        request, viewer, "yards/list.html", context, now=now, zone=zone, current="yards:people"
    )


@require_http_methods(forms.METHODS)
@screen("invitation", "invitation", sure=Sure(Verb.CHANGE_PEOPLE))
def invite(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Invite somebody, to whatever a grant can name."""
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    places = yards.all_yards(viewer)
    zone = clocks.zone_of(places)
    form = forms.Form(
        title=gettext("Invite somebody"),
        lead=gettext(
            "They get a letter with a link, choose a password, and are in. Somebody who signs in "
            "here already signs in and accepts."
        ),
        controls=(
            _address(),
            grant_asked.role(),
            *grant_asked.scope(viewer, places),
            *grant_asked.times(zone),
            *grant_asked.vets_number(),
            *grant_asked.sight(),
            _how_long(),
        ),
        submit=gettext("Send the invitation"),
        back=_people(),
        start={"hours": str(invitation.LASTS_HOURS)},
        zone=zone,
        current="yards:people",
    )

    def act(raw: dict[str, Any]) -> str:
        made = actions.invite(viewer, _counted(grant_asked.body(raw)), now=now)
        return news.told(reverse("yards:people"), people_done.INVITED, made.ref)

    return forms.answered(request, viewer, form, act, now=now)


def _address() -> Control:
    return Control(
        "email",
        gettext("E-mail address"),
        "email",
        hint=gettext("Check it: whoever reads mail there gets in."),
    )


def _how_long() -> Control:
    return Control(
        "hours",
        gettext("The link opens for"),
        "segments",
        choices=(
            (str(DAY_HOURS), gettext("One day")),
            (str(invitation.LASTS_HOURS), gettext("Three days")),
            (str(7 * DAY_HOURS), gettext("A week")),
        ),
    )


def _counted(raw: dict[str, Any]) -> dict[str, Any]:
    hours = str(raw.get("hours", ""))
    return {**raw, "hours": int(hours)} if hours.isdecimal() and hours.isascii() else raw


@require_http_methods(forms.METHODS)
@screen("invitation", "invitation", sure=Sure(Verb.CHANGE_PEOPLE))
def invite_vet(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Invite a vet until the end of the day: three things to type, and send."""
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    zone = clocks.zone_of(yards.all_yards(viewer))
    until = day_grants.midnight(viewer, now)
    form = forms.Form(
        title=gettext("Invite a new vet for today"),
        lead=gettext(
            "All yards, until midnight tonight ({zone}). They get a letter with a link."
        ).format(zone=zone),
        controls=(_address(), *grant_asked.number_of_a_vet()),
        submit=gettext("Send the invitation"),
        back=_people(),
        zone=zone,
        current="yards:people",
        start={"register": roster.last_register(viewer)},
        links=(
            Link(reverse("yards:issue_day_grant"), gettext("A vet with an account here")),
            Link(reverse("yards:invite"), gettext("Other days or yards")),
        ),
    )

    def act(raw: dict[str, Any]) -> str:
        day = {"role": Role.VET.value, "yards": grant.ALL, "until": until.isoformat()}
        reason = gettext("Visit on {day}").format(day=words.day(now, zone))
        made = actions.invite(viewer, {**raw, **day, "reason": reason}, now=now)
        return news.told(reverse("yards:people"), people_done.INVITED, made.ref)

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("invitation", "invitation", sure=Sure(Verb.CHANGE_PEOPLE))
def send_again(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Send a new link in place of the one before."""
    card = queries.get_invitation(viewer, id)
    form = forms.Form(
        title=gettext("Send the invitation to {email} again").format(
            email=bidi.isolated(card.email)
        ),
        lead=gettext("A new link goes out; the one sent before opens nothing from then on."),
        controls=(),
        submit=gettext("Send it again"),
        back=_back(),
        current="yards:people",
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.send_again(viewer, id, now=now)
        return news.told(reverse("yards:invitations"), people_done.AGAIN, id)

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("invitation", "invitation", sure=Sure(Verb.CHANGE_PEOPLE))
def withdraw(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Withdraw an invitation."""
    card = queries.get_invitation(viewer, id)
    form = forms.Form(
        title=gettext("Withdraw the invitation to {email}").format(email=bidi.isolated(card.email)),
        lead=gettext("Its link opens nothing from now on. You can invite them anew."),
        controls=(),
        submit=gettext("Withdraw it"),
        back=_back(),
        current="yards:people",
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.withdraw(viewer, id, now=now)
        return news.told(reverse("yards:invitations"), people_done.WITHDRAWN, id)

    return forms.answered(request, viewer, form, act, now=now)
