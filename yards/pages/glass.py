"""Break-glass: asking for it, approving another's, ending it."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_POST

from yards.access import doors
from yards.actions import glass as actions
from yards.pages import clocks, forms, sight_tables
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.queries import sight, yards
from yards.rules.roles import Verb, Viewer, may


@require_http_methods(forms.METHODS)
@screen("glass", "glass")
def glass(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Ask to look at everything for an hour; see who asked, who looks, who looked."""
    doors.require(viewer, Verb.ASK_TO_BREAK_GLASS)
    zone = clocks.zone_of(yards.all_yards(viewer))
    found = list(sight.list_glass(viewer, now=now))
    form = forms.Form(
        title=gettext("Break-glass"),
        lead=gettext(
            "In need, and for an hour at most: you look at everything here, restricted horses too. "
            "One person asks, another approves. All coordinators are told, it ends by itself, and "
            "each look is recorded."
        ),
        controls=(
            Control("reason", gettext("Why"), hint=gettext("What happened, and what you need.")),
        ),
        submit=gettext("Ask for it"),
        back=("/", gettext("Yard board")),
        zone=zone,
        template="yards/glass.html",
        more={
            "glasses": sight_tables.glass(found, zone, now),
            "may_approve": may(viewer, Verb.APPROVE_BREAKING_GLASS),
            "me": viewer.person,
        },
    )

    def act(raw: dict[str, Any]) -> str:
        actions.ask(viewer, raw, now=now)
        return reverse("yards:glass")

    return forms.answered(request, viewer, form, act, now=now)


@require_POST
@screen("glass_approved", "glass", sure=Sure(Verb.APPROVE_BREAKING_GLASS))
def approve_glass(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Approve another's."""
    actions.approve(viewer, id, now=now)
    return HttpResponseRedirect(reverse("yards:glass"), status=303)


@require_POST
@screen("glass_ended", "glass")
def end_glass(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """End it now."""
    actions.end(viewer, id, now=now)
    return HttpResponseRedirect(reverse("yards:glass"), status=303)
