"""Score a horse, correct a score, and read what a score came to.

Nothing on the scoring page anchors the hand: no last score, band or alert is sent with it. Only a
correction begins with what was entered, since that is what it puts right.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import uuid_utils.compat as uuid_utils
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_http_methods, require_safe

from scoring.actions import asking
from scoring.actions import assessments as actions
from scoring.pages import (
    answers,
    before,
    choices,
    done,
    pictures,
    round_words,
    saved,
    score_again,
    score_labels,
    score_photos,
    score_steps,
    weigh_controls,
)
from scoring.queries import assessments as queries
from scoring.queries import first_words, photos, walk_on
from scoring.rules import scale, score_sheet
from yards.access import doors
from yards.pages import controls, forms, frame, sheets
from yards.pages.screen import screen
from yards.queries import horses, people, tastes, yards
from yards.rules import errors
from yards.rules import horse as horse_rule
from yards.rules.roles import Verb, Viewer, may

LISTS = ("danger_signs",)
# What the page's own scale links and hidden fields say besides the reading.
_BESIDE = frozenset({"horse", weigh_controls.SURE})
Record = Callable[[object], queries.AssessmentAnswer]


@dataclass(frozen=True, slots=True)
class _Stall:
    """Who is scored, where, and the earlier score that is being put right, if one is."""

    horse: horses.HorseCard
    yard: yards.YardCard
    old: queries.AssessmentAnswer | None = None

    @property
    def kept(self) -> tuple[controls.Control, ...]:
        """The controls that are told in the reader's unit or kept to the instant."""
        taken = self.old.corrected_taken_at if self.old is not None else None
        zone = self.yard.time_zone
        when = controls.moment("taken_at", "", zone, kept=taken)
        return choices.weight(), *score_steps.measures(), when


# Compressed here, since the page is read where there is little signal; what is secret in it, the
# token against forgery, is masked anew each time.
@gzip_page
@require_http_methods(forms.METHODS)
@screen("score", "horse", files=score_photos.MOST)
def score(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show the form, or record what was entered and lead to the answer."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RECORD_READINGS)
    stall = _Stall(horse, yards.get_yard(viewer, horse.yard.ref))
    if request.method != "POST":
        key = _scale(horse.species, request.GET.get("scale", ""))
        local = now.astimezone(ZoneInfo(stall.yard.time_zone))
        fresh = {
            "id": str(uuid_utils.uuid7()),
            "scale": key,
            "taken_at": controls.local(local),
            "manner": "palpated",
        }
        return _form(request, viewer, stall, sheets.Sheet(fresh), now=now)
    asks = not request.POST.get(weigh_controls.SURE)
    return _sent(
        request,
        viewer,
        stall,
        lambda raw: actions.record_assessment(viewer, raw, now=now, asks=asks),
        now=now,
    )


@require_http_methods(forms.METHODS)
@screen("correct", "assessment")
def correct(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show what was entered, or record the whole of it anew with a reason."""
    old = queries.get_assessment(viewer, id)
    doors.require(viewer, Verb.CORRECT_READINGS)
    horse = horses.get_horse(viewer, old.horse)
    stall = _Stall(horse, yards.get_yard(viewer, horse.yard.ref), old=old)
    if request.method != "POST":
        values = score_again.values(old, stall.yard.time_zone)
        return _form(request, viewer, stall, sheets.Sheet(values), now=now)
    return _sent(
        request,
        viewer,
        stall,
        lambda raw: actions.correct_assessment(viewer, id, raw, now=now),
        now=now,
    )


def _sent(
    request: HttpRequest, viewer: Viewer, stall: _Stall, record: Record, *, now: datetime
) -> HttpResponse:
    values = sheets.typed(request.POST, LISTS)
    sent = {name: value for name, value in values.items() if name not in _BESIDE}
    told = controls.stored(stall.kept, {**sent, "horse": str(stall.horse.ref)})
    raw = score_sheet.raw_of(told, zone=stall.yard.time_zone)  # type: ignore[arg-type]
    try:
        made = record(raw)
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(values, refused, stall.kept)
        if isinstance(refused, errors.Conflict) and stall.old is None:
            again.summary = gettext(
                "This form was saved before, with other content, and that stands. To score again, "
                "open a new form from the board."
            )
        asks = asking.is_asked(refused)
        return _form(
            request, viewer, stall, again, now=now, status=refused.status, asks_weight=asks
        )
    if stall.old is None:
        unkept = score_photos.keep(viewer, request.FILES, made, now=now)
        if unkept:
            again = sheets.refused(values, errors.Invalid(*unkept))
            again.summary = gettext("The score is saved, but not every photo.")
            # Answered as done, since it is: what was saved must stand.
            return _form(request, viewer, stall, again, now=now, kept=made.id)
    answer = reverse("scoring:scored", args=[made.id]) + round_words.query(request.GET)
    return HttpResponseRedirect(answer, status=303)


def _scale(species: str, asked: str) -> str:
    return asked if asked in scale.for_species(species) else scale.usual_for(species)


def _form(
    request: HttpRequest,
    viewer: Viewer,
    stall: _Stall,
    form: sheets.Sheet,
    *,
    now: datetime,
    status: int = 200,
    kept: UUID | None = None,
    asks_weight: bool = False,
) -> HttpResponse:
    form.labels = score_labels.labels()
    key = _scale(stall.horse.species, str(form.values.get("scale", "")))
    rule = people.overall_rule(viewer)
    context: dict[str, Any] = {
        "horse": answers.horse_named(stall.horse),
        "vet": stall.yard.vet,
        "scale": key,
        "scale_label": choices.scale_label(key),
        "scales": choices.scales(stall.horse.species, key),
        "zone": stall.yard.time_zone,
        "form": form,
        "choices": choices.all_choices(viewer, key),
        "weight": choices.weight(),
        "correcting": stall.old is not None,
        "steps": score_steps.context(key, stall.horse, rule=rule, zone=stall.yard.time_zone),
        "stands": _weight_that_stands(stall.old),
        "asks_weight": asks_weight,
        "due_first": bool(round_words.query(request.GET)),
        "saved": kept,
    }
    return frame.page(
        request,
        viewer,
        "scoring/score.html",
        context,
        now=now,
        zone=stall.yard.time_zone,
        status=status,
    )


def _weight_that_stands(old: queries.AssessmentAnswer | None) -> str:
    weighed = old.weighing if old is not None else None
    return tastes.weight(weighed.weight_kg) if weighed is not None else ""


def _visit(viewer: Viewer, horse: horses.HorseCard) -> str:
    """Return the way to a horse that is here on the visit, for vets, who mostly came from there."""
    visits = may(viewer, Verb.READ_VISIT) and may(viewer, Verb.OVERRIDE_BANDS)
    return done.on_the_visit(horse) if visits and horse.status in horse_rule.HERE else ""


@require_safe
@screen("scored", "assessment")
def scored(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show what a score came to."""
    found = queries.get_assessment(viewer, id)
    horse = horses.get_horse(viewer, found.horse)
    news = saved.said(viewer, found.recorded_by, found.received_at, now=now)
    on = None
    if news and may(viewer, Verb.WALK_ROUNDS):
        first = bool(round_words.query(request.GET))
        on = walk_on.walk_on(viewer, horse.yard.ref, horse.ref, due_first=first, now=now)
    context = {
        "scored": answers.scored(viewer, found, horse, now),
        "described": first_words.described(viewer, horse),
        "saved": news,
        "before": before.told(viewer, found),
        "on": on,
        "next_said": round_words.following(on.next) if on and on.next else "",
        "walk": round_words.query(request.GET),
        "visit": _visit(viewer, horse),
        "done_said": round_words.done(on.done, on.horses) if on else "",
        "vet": found.alerts[0].vet if found.alerts else None,
        "may_correct": may(viewer, Verb.CORRECT_READINGS) and found.superseded_by is None,
        "pictures": pictures.shown(photos.of_assessment(viewer, id), horse.name, found.time_zone),
    }
    return frame.page(
        request, viewer, "scoring/scored.html", context, now=now, zone=found.time_zone
    )
