"""Help, one click from where it is needed. Anybody may read it: it holds nobody's data.

It says the same whatever horse is being scored: nothing in it can anchor a hand. ``?kept`` is the
page as a phone keeps it, without its reader; ``?beside`` one that was opened beside a form.
"""

from datetime import datetime
from typing import Any
from urllib.parse import urlsplit

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from scoring.pages import help_content, shells
from yards.pages import clocks, frame
from yards.pages.screen import screen
from yards.queries import tastes, yards
from yards.queries.yards import VetContact, YardCard
from yards.rules.roles import Verb, Viewer, may


@gzip_page
@require_safe
def page(request: HttpRequest, key: str) -> HttpResponse:
    """Show a page of help; to somebody signed in with their places, and their yards' numbers."""
    if "kept" in request.GET:
        return shells.answer(request, shells.Shell(help=key))
    if not request.user.is_authenticated:
        with tastes.of(shells.taste_of(request)):
            told = {**help_content.context(key), **_way(request)}
            return render(request, help_content.template(key), told)
    return _framed(request, key=key)


@screen("help")
def _framed(request: HttpRequest, viewer: Viewer, now: datetime, key: str) -> HttpResponse:
    places = yards.all_yards(viewer) if may(viewer, Verb.READ_YARDS) else ()
    told = {**help_content.context(key), **_way(request)}
    if key == help_content.WHO:
        told["practices"] = _practices(places)
        told["may_change"] = may(viewer, Verb.CHANGE_YARDS)
    return frame.page(
        request,
        viewer,
        help_content.template(key),
        told,
        now=now,
        zone=clocks.zone_of(places),
        current="scoring:help",
    )


def _practices(places: tuple[YardCard, ...]) -> list[tuple[list[str], VetContact]]:
    """Return the vets to ring, each once, with the names of their yards."""
    found: dict[VetContact, list[str]] = {}
    for each in places:
        found.setdefault(each.vet, []).append(each.name)
    return [(names, vet) for vet, names in found.items()]


def _way(request: HttpRequest) -> dict[str, Any]:
    """Return the way back to the page that led here, where that is one of ours and not help."""
    beside = "beside" in request.GET
    came = urlsplit(request.META.get("HTTP_REFERER", ""))
    ours = came.scheme == request.scheme and came.netloc == request.get_host()
    if beside or not ours or came.path.startswith(reverse("scoring:help")):
        return {"beside": beside, "back": ""}
    return {"beside": False, "back": came.path + (f"?{came.query}" if came.query else "")}
