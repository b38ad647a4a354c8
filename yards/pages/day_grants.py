"""For today only: somebody known is chosen, one button is pressed."""

from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from yards.access import doors
from yards.actions import day_grants as actions
from yards.pages import clocks, controls, forms, news, people_done
from yards.pages.screen import Sure, screen
from yards.pages.tables import Link
from yards.queries import roster, yards
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer

NAME = "person"


@require_http_methods(forms.METHODS)
@screen("day_grant", "grant", sure=Sure(Verb.CHANGE_PEOPLE, sending_only=True))
def issue_day_grant(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Let a vet or an officer in until midnight."""
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    form = form_of(viewer)

    def act(raw: dict[str, Any]) -> str:
        role = str(raw.get("role", ""))
        made = actions.issue(viewer, {"reason": _reason(role), **raw}, now=now)
        return news.told(reverse("yards:people"), people_done.LET_IN, made.ref)

    return forms.answered(request, viewer, form, act, now=now)


def form_of(viewer: Viewer) -> forms.Form:
    """Return the form, which the page of people shows too."""
    zone = clocks.zone_of(yards.all_yards(viewer))
    known = [(str(each.id), bidi.isolated(each.name)) for each in roster.who_visits(viewer)]
    return forms.Form(
        title=gettext("For today: a vet or officer with an account here"),
        lead=gettext("All yards, until midnight tonight ({zone}).").format(zone=zone),
        # Nobody is chosen beforehand: whoever stood first would be let in by a press too many.
        controls=(
            controls.Control(
                NAME, gettext("Who"), "pick", choices=known, empty=gettext("Choose who comes")
            ),
        ),
        submit=gettext("Let in as officer"),
        back=(reverse("yards:people"), gettext("People")),
        zone=zone,
        current="yards:people",
        template="yards/day_grant.html",
        links=(Link(reverse("yards:invite_vet"), gettext("Invite a new vet for today")),),
    )


def _reason(role: str) -> str:
    if role == "vet":
        return gettext("Vet's visit today")
    return gettext("Officer's visit today, unannounced")
