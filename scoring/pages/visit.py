"""The vet's visit: the day list, what is new since the last one, what waits for an answer."""

from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils.formats import date_format
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from scoring.pages import done, visit_shown
from scoring.queries import visit as queries
from scoring.queries import wording
from scoring.rules import board_wanted
from scoring.rules import visit as rule
from yards.access import doors
from yards.pages import clocks, frame, news, tables
from yards.pages.screen import screen
from yards.queries import yards
from yards.rules import address, daytime
from yards.rules.roles import Verb, Viewer


@require_safe
@screen("visit")
def visit(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show the day list in reach, of one yard or of all, and what changed since a day."""
    doors.require(viewer, Verb.READ_VISIT)
    places = yards.all_yards(viewer)
    zone, yard = clocks.zone_of(places), request.GET.get("yard", "")
    typed = request.GET.get("since", "")
    since, fault = rule.asked_day(typed, daytime.local_date(now, zone))
    found = queries.get_visit(
        viewer, now=now, yard=address.ref(yard), asked=since, at=_position(request)
    )
    here = _here(request)
    saved = done.of(request, viewer, found.zone, now=now)
    kept = {"yard": yard or None, "since": since.isoformat() if since is not None else None}
    context: dict[str, Any] = {
        "title": gettext("Visit, {day}").format(day=date_format(found.today, "l j F Y")),
        "yard_name": found.chosen,
        "zone": found.zone,
        "yards": _yards(found, kept),
        "since": visit_shown.since(found),
        "asked": {
            "yard": yard,
            "since": typed[:20],
            "fault": wording.say(fault.key, fault.params) if fault is not None else "",
            "latest": found.today.isoformat(),
        },
        "done": saved,
        "questions": visit_shown.asked(viewer, found, here),
        "ending": visit_shown.ending(viewer, found, here, now),
        "left_off": found.left_off,
        "groups": visit_shown.groups(viewer, found, here, saved),
        "pages": _pages(found, kept),
        "caution_weight": gettext("Estimate: not for drug doses without the vet."),
    }
    status = 200 if fault is None else 422
    page, current = "scoring/visit.html", "scoring:visit"
    return frame.page(
        request, viewer, page, context, now=now, zone=found.zone, current=current, status=status
    )


def _here(request: HttpRequest) -> str:
    """Return the address of this page of the list, to be led back to."""
    kept = request.GET.copy()
    kept.pop(news.SAVED, None)
    return f"{request.path}?{kept.urlencode()}" if kept else request.path


def _yards(found: queries.Visit, kept: dict[str, str | None]) -> list[tables.Filter]:
    return [
        tables.Filter(
            tables.query(**{**kept, "yard": str(each.id) if each.id else None}),
            each.name or gettext("All yards"),
            each.current,
            each.count,
        )
        for each in found.yards
    ]


def _position(request: HttpRequest) -> board_wanted.Position | None:
    """Return where a page begins; ``since`` of this page is a day, and none of a position's."""
    asked = {name: request.GET.get(name, "") for name in ("after", "before")}
    return board_wanted.position(asked)


def _pages(found: queries.Visit, kept: dict[str, str | None]) -> dict[str, str]:
    rows = [each.row for each in found.seen]

    def beside(place: int, *, is_before: bool) -> str:
        row = rows[place]
        at = board_wanted.Position(row.group, row.horse_id, is_before, late=row.late, calm=row.calm)
        return tables.query(**kept, **at.pairs())

    return {
        "previous": beside(0, is_before=True) if rows and found.has_previous else "",
        "next": beside(-1, is_before=False) if rows and found.has_next else "",
    }
