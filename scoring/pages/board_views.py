"""Views of the board that a person keeps under names of their own."""

from datetime import datetime
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from scoring.actions import board_views as actions
from scoring.pages import board_filters
from scoring.rules import board_wanted
from yards.pages.screen import screen
from yards.rules.roles import Viewer


@require_POST
@screen("board views")
def keep(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Keep the view that the form names, and show it."""
    wanted = board_wanted.read(request.POST)
    actions.keep(viewer, {"name": request.POST.get("name", "")}, wanted, now=now)
    return _board(board_filters.query(wanted))


@require_POST
@screen("board views", "board_view")
def remove(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Take one of the reader's own views away."""
    actions.remove(viewer, id, now=now)
    return _board("")


def _board(query: str) -> HttpResponse:
    return HttpResponseRedirect(reverse("scoring:board") + query, status=303)
