"""The herd: all horses by month, at the ends of the seasons, in shares, and how looks were met."""

from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from scoring.pages import herd_drawn, herd_filters, herd_shown
from scoring.queries import herd_ends, herd_met, herd_months, herd_scope, season_words
from scoring.rules import herd_wanted
from yards.pages import clocks, frame
from yards.pages.screen import screen
from yards.queries import yards
from yards.rules.roles import Viewer

SIZE = 60


def scope(request: HttpRequest, viewer: Viewer, now: datetime) -> herd_scope.Scope:
    """Return which horses and months an address asks for."""
    return herd_scope.scope(viewer, herd_wanted.read(request.GET), now=now)


@require_safe
@screen("herd")
def herd(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show each horse's place in its own band month by month, a page of horses at a time."""
    found = scope(request, viewer, now)
    strip = herd_months.strip(found, size=SIZE)
    return _page(
        request, viewer, now, found, strip=herd_shown.strip(found, strip), key=herd_drawn.key()
    )


@require_safe
@screen("herd at the ends of seasons")
def seasons(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show how many stood how far from their band at the ends of winter and of autumn."""
    found = scope(request, viewer, now)
    places = [yards.card_of(each) for each in found.places]
    ends = herd_shown.ends(herd_ends.tallies(found, now=now))
    return _page(request, viewer, now, found, ends=ends, springs=season_words.springs(places))


@require_safe
@screen("shares of the herd")
def shares(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show which share was below, within and above its band in each month."""
    found = scope(request, viewer, now)
    return _page(
        request,
        viewer,
        now,
        found,
        shares=herd_shown.shares(found.months, herd_months.counts(found)),
    )


@require_safe
@screen("punctuality of the herd")
def met(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show how many looks fell due in each month and yard, and how they were met."""
    found = scope(request, viewer, now)
    return _page(request, viewer, now, found, met=herd_shown.met(herd_met.punctuality(found)))


def _page(
    request: HttpRequest,
    viewer: Viewer,
    now: datetime,
    found: herd_scope.Scope,
    **shown: Any,
) -> HttpResponse:
    view = request.resolver_match.url_name if request.resolver_match else "herd"
    context = {
        "herd": {**herd_filters.around(found, str(view)), **shown},
        "clock": clocks.named(found.zone),
        "some": viewer.yards is not None,
    }
    template = f"scoring/{view}.html"
    return frame.page(
        request, viewer, template, context, now=now, zone=found.zone, current="scoring:herd"
    )
