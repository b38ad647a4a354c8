"""The board on a wall: what needs doing, in large type, refreshed by itself."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from scoring.pages import board, board_filters
from scoring.queries import board as queries
from scoring.queries import board_choices
from scoring.rules import board as rule
from scoring.rules import board_wanted
from yards.pages import frame
from yards.pages.screen import screen
from yards.rules.roles import Viewer

# As many as can be read across a yard; the rest is told by its number.
SIZE = 36


@require_safe
@screen("wall")
def wall(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show the board's groups of work, with the scope and the filters of its address."""
    wanted = board_wanted.read(request.GET)
    glance = queries.glance(viewer, now=now, wanted=wanted, size=SIZE)
    tag = board.tag_of(viewer, glance.mark)
    if board.holds(request, tag):
        return HttpResponse(status=304, headers={"ETag": tag})
    found = queries.seen(viewer, glance, now=now)
    shown = board.shown_of(viewer, found, wanted, now)
    shown |= {
        "tag": tag,
        "board": board_filters.query(wanted),
        "in_force": board_filters.form(wanted, found, board_choices.hands(viewer))["in_force"],
        "place": next((each["name"] for each in shown["yards"] if each["current"]), ""),
        "groups": [each for each in shown["groups"] if each["key"] != rule.NOTHING_TO_DO],
        "idle": found.counts[rule.NOTHING_TO_DO],
    }
    response = frame.page(
        request, viewer, "scoring/wall.html", {"board": shown}, now=now, zone=found.zone
    )
    response["ETag"] = tag
    return response
