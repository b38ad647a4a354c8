"""Score a horse, and read what the score came to.

Nothing on the scoring page anchors the hand: no last score, band or alert is sent with it.
"""

from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import uuid_utils.compat as uuid_utils
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from scoring.actions import assessments as actions
from scoring.pages import answers, choices, sheets
from scoring.queries import assessments as queries
from scoring.rules import scale, score_sheet
from yards.access import doors
from yards.pages import frame
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules import errors
from yards.rules.roles import Verb, Viewer

LISTS = ("danger_signs",)
# What the page's own scale links and hidden fields say besides the reading.
_BESIDE = frozenset({"horse"})


@require_http_methods(["GET", "HEAD", "POST"])
@screen("score", "horse")
def score(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show the form, or record what was entered and lead to the answer."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RECORD_READINGS)
    yard = yards.get_yard(viewer, horse.yard.ref)
    if request.method != "POST":
        key = _scale(horse.species, request.GET.get("scale", ""))
        local = now.astimezone(ZoneInfo(yard.time_zone))
        fresh = {
            "id": str(uuid_utils.uuid7()),
            "scale": key,
            "taken_at": local.strftime("%Y-%m-%dT%H:%M"),
            "manner": "palpated",
        }
        return _form(request, viewer, horse, yard, sheets.Sheet(fresh), now=now)
    values = sheets.typed(request.POST, LISTS)
    sent = {name: value for name, value in values.items() if name not in _BESIDE}
    raw = score_sheet.raw_of({**sent, "horse": str(horse.ref)}, zone=yard.time_zone)
    try:
        made = actions.record_assessment(viewer, raw, now=now)
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(values, refused)
        if isinstance(refused, errors.Conflict):
            again.summary = gettext(
                "This form was saved before, with other content, and that stands. To score again, "
                "open a new form from the board."
            )
        return _form(request, viewer, horse, yard, again, now=now, status=refused.status)
    return HttpResponseRedirect(reverse("scoring:scored", args=[made.id]), status=303)


def _scale(species: str, asked: str) -> str:
    return asked if asked in scale.for_species(species) else scale.usual_for(species)


def _form(
    request: HttpRequest,
    viewer: Viewer,
    horse: horses.HorseCard,
    yard: yards.YardCard,
    form: sheets.Sheet,
    *,
    now: datetime,
    status: int = 200,
) -> HttpResponse:
    key = _scale(horse.species, str(form.values.get("scale", "")))
    lists = choices.all_choices(viewer, key)
    context: dict[str, Any] = {
        "horse": answers.horse_named(horse),
        "vet": yard.vet,
        "scale": key,
        "scale_label": choices.scale_label(key),
        "scales": choices.scales(horse.species, key),
        "zone": yard.time_zone,
        "form": form,
        "choices": lists,
    }
    return frame.page(
        request,
        viewer,
        "scoring/score.html",
        context,
        now=now,
        zone=yard.time_zone,
        status=status,
    )


@require_safe
@screen("scored", "assessment")
def scored(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show what a score came to."""
    found = queries.get_assessment(viewer, id)
    horse = horses.get_horse(viewer, found.horse)
    context = {
        "scored": answers.scored(viewer, found, horse, now),
        "vet": found.alerts[0].vet if found.alerts else None,
    }
    return frame.page(
        request, viewer, "scoring/scored.html", context, now=now, zone=found.time_zone
    )
