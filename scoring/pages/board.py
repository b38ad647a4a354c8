"""The yard board: what needs doing today first, then every horse, a page at a time."""

import hashlib
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import translation
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from scoring.pages import board_filters, board_shown, board_worries
from scoring.queries import board as queries
from scoring.queries import board_choices, board_rows
from scoring.rules import board as rule
from scoring.rules import board_wanted
from yards.pages import beginning, frame
from yards.pages.screen import screen
from yards.queries import tastes
from yards.rules.roles import Verb, Viewer, may

# How often a page that is looked at asks whether anything on it has changed, in seconds.
EVERY = 30


@require_safe
@screen("board")
def board(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show the horses that the address asks for, by what needs doing today.

    Asked whether a page of it has changed (RFC 9110, If-None-Match), it says so without drawing it.
    """
    if not may(viewer, Verb.READ_STANDING) and may(viewer, Verb.READ_DESK):
        # Whoever may see a part of the record is shown that, and no state of today.
        return HttpResponseRedirect(reverse("scoring:desk"))
    wanted, at = board_wanted.read(request.GET), board_wanted.position(request.GET)
    glance = queries.glance(viewer, now=now, wanted=wanted, at=at)
    tag = tag_of(viewer, glance.mark)
    if holds(request, tag):
        return HttpResponse(status=304, headers={"ETag": tag})
    found = queries.seen(viewer, glance, now=now)
    shown = shown_of(viewer, found, wanted, now)
    shown |= {
        "tag": tag,
        "form": board_filters.form(wanted, found, board_choices.hands(viewer)),
        "kept": board_filters.kept(board_choices.views(viewer), wanted),
        "pages": _pages(wanted, at, found, now),
        "wall": board_filters.query(wanted, group=""),
        # Only where the page holds the gravest of all that are wanted.
        "worries": board_worries.told(found) if at is None and not wanted.group else None,
    }
    response = frame.page(
        request,
        viewer,
        "scoring/board.html",
        {"board": shown},
        now=now,
        zone=found.zone,
        current="scoring:board",
    )
    response["ETag"] = tag
    return response


def tag_of(viewer: Viewer, mark: str) -> str:
    """Return the ETag of a page: of what is on it, and of who reads it in which words and units."""
    told = (mark, viewer.person, viewer.role, translation.get_language(), tastes.current())
    return f'"{hashlib.sha256(repr(told).encode()).hexdigest()[:32]}"'


def holds(request: HttpRequest, tag: str) -> bool:
    """Return whether the asker has the page of this tag; one that a proxy weakened is the same."""
    return tag in request.headers.get("If-None-Match", "")


def shown_of(
    viewer: Viewer, found: queries.Board, wanted: board_wanted.Wanted, now: datetime
) -> dict[str, Any]:
    """Return what the board and the wall have in common."""
    return {
        "today": found.today,
        "now": now,
        "zone": found.zone,
        "yards": board_filters.yards(wanted, found),
        "work": board_filters.work(wanted, found),
        "groups": board_shown.groups(found),
        "total": found.total,
        "needing": sum(found.counts[key] for key in rule.WORK),
        "narrowed": bool(wanted.narrowed),
        "walks": may(viewer, Verb.WALK_ROUNDS),
        "nothing": beginning.of(viewer, found.yards[1:]),
        "in_scope": bool(found.yards[0].count) if not wanted.narrowed else True,
        # Every look of an auditor is entered in the record, so a page may not look by itself.
        "every": 0 if viewer.is_watched else EVERY,
    }


def _pages(
    wanted: board_wanted.Wanted,
    at: board_wanted.Position | None,
    found: queries.Board,
    now: datetime,
) -> dict[str, Any]:
    """Return the addresses of the pages beside this one, and what to know of this one's place."""
    begun = at.since if at is not None and at.since is not None else now

    def beside(row: board_rows.Row, is_before: bool) -> str:
        place = board_wanted.Position(row.group, row.horse_id, is_before, begun, row.late, row.calm)
        return "?" + urlencode((*wanted.pairs(), *place.pairs().items()))

    rows = found.rows
    return {
        "first": board_filters.query(wanted) if at is not None else "",
        "previous": beside(rows[0], True) if rows and found.has_previous else "",
        "next": beside(rows[-1], False) if rows and found.has_next else "",
        "begun": begun,
        "touched": found.touched if at is not None else 0,
        "restarted": found.restarted,
        "rows": len(rows),
    }
