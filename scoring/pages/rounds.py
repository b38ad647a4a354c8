"""Rounds on pages: which yard, and from horse to horse through it.

Nothing here anchors the hand: no last score, band or alert stands beside a horse.
"""

from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.utils.formats import date_format
from django.utils.translation import gettext, ngettext
from django.views.decorators.http import require_safe

from scoring.pages import labels, round_words
from scoring.queries import rounds as queries
from scoring.queries import scored_today
from scoring.rules import due
from yards.pages import beginning, clocks, frame, words
from yards.pages.screen import screen
from yards.queries import yards
from yards.rules import bidi
from yards.rules.roles import Viewer

HOME = "scoring:rounds"


@require_safe
@screen("rounds")
def rounds(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List the yards that can be walked."""
    found = queries.list_rounds(viewer, now=now)
    mine = yards.all_yards(viewer)
    zone = clocks.zone_of(mine)
    places = [
        {"id": each.id, "name": each.name, "said": _said(each.horses, each.due)} for each in found
    ]
    return frame.page(
        request,
        viewer,
        "scoring/round/rounds.html",
        {"places": places, "nothing": beginning.of(viewer, mine)},
        now=now,
        zone=zone,
        current=HOME,
    )


@require_safe
@screen("round", "yard")
def walk(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show a yard's horses in walking order, or those that are due before the others."""
    found = queries.the_round(viewer, id, now=now)
    due_first = bool(round_words.query(request.GET))
    late = [each for each in found.horses if each.due.state != due.NOT_DUE]
    shown = list(found.horses)
    if due_first:
        shown.sort(key=lambda each: (each.due.state == due.NOT_DUE, each.order))
    today = scored_today.scored_today(viewer, found.yard, now=now)
    context: dict[str, Any] = {
        "yard": found.yard,
        "done": round_words.done(sum(each.id in today for each in shown), len(shown)),
        "said": _late(len(late)),
        "due": len(late),
        "due_first": due_first,
        "horses": [
            _horse(each, found.yard.time_zone, now) | _entered(today.get(each.id), found.yard)
            for each in shown
        ],
        "may_order": found.may_order,
        "nothing": beginning.of(viewer, (found.yard,)),
    }
    zone = found.yard.time_zone
    return frame.page(
        request, viewer, "scoring/round/walk.html", context, now=now, zone=zone, current=HOME
    )


def _said(horses: int, late: int) -> str:
    told = ngettext("{n} horse", "{n} horses", horses).format(n=horses)
    return gettext("{horses}, {wanting}").format(horses=told, wanting=_late(late))


def _late(late: int) -> str:
    return ngettext("{n} due or overdue", "{n} due or overdue", late).format(n=late)


def _entered(found: scored_today.ScoredToday | None, yard: yards.YardCard) -> dict[str, str]:
    """Return what is said of a horse that was scored today, which is due no more for that."""
    if found is None:
        return {"entered": ""}
    at = date_format(found.at.astimezone(ZoneInfo(yard.time_zone)), "H:i")
    said = (
        gettext("Scored today at {at} by {name}")
        if found.is_scored
        else gettext("Not safe to touch today at {at}, says {name}")
    )
    return {"entered": said.format(at=at, name=bidi.isolated(found.by))}


def _horse(found: queries.RoundHorse, zone: str, now: datetime) -> dict[str, Any]:
    about = [words.kind(found.kind) or words.species(found.species), words.use_of(found)]
    if found.is_unknown:
        about.insert(0, gettext("unknown animal"))
    when = found.due
    said = labels.due(when.state, when.on, when.days, when.what)
    return {
        "id": found.id,
        "name": found.name,
        "order": found.order,
        "about": ", ".join(about),
        "state": when.state,
        "weight_due": due.state(when.weight_at, now, zone) != due.NOT_DUE,
        "due": labels.next_due(when.on, when.what) if when.state == due.NOT_DUE else said,
        "caution": found.caution,
        "foal_at_foot": found.foal_at_foot,
    }
