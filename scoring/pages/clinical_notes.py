"""Clinical notes: written and put right by vets, read by vets and coordinators."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from scoring.actions import clinical_notes as actions
from scoring.pages import came, done, vet_shown
from scoring.queries import clinical_notes as queries
from yards.access import doors
from yards.pages import forms, frame, news, tables
from yards.pages.controls import Control
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules import bidi, errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("write a clinical note", "horse")
def write(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Write a note about a horse."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.WRITE_CLINICAL)
    way = came.back(request, (reverse("scoring:horse", args=[id]), horse.name))
    form = forms.Form(
        title=gettext("Clinical note: {name}").format(name=bidi.isolated(horse.name)),
        lead=_who(),
        controls=(Control("text", gettext("Note"), "area"),),
        submit=gettext("Keep this note"),
        back=way,
        zone=yards.get_yard(viewer, horse.yard.ref).time_zone,
    )

    def act(raw: dict[str, Any]) -> str:
        kept = actions.write(viewer, id, raw, now=now)
        return news.told(way[0], done.NOTE, kept.id)

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("correct a clinical note", "clinical_note")
def correct(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Let a whole new note stand in the place of one."""
    note = queries.get_note(viewer, id)
    doors.require(viewer, Verb.WRITE_CLINICAL)
    if note.superseded_by is not None and request.method != "POST":
        raise errors.Conflict(FieldError("", "only_the_newest_is_corrected"))
    horse = horses.get_horse(viewer, note.horse)
    form = forms.Form(
        title=gettext("Correct a clinical note: {name}").format(name=bidi.isolated(horse.name)),
        lead=gettext("The earlier note stays to be read, struck, with your name and your reason."),
        controls=(
            Control("text", gettext("Note"), "area"),
            Control("reason", gettext("Why it is corrected")),
        ),
        start={"text": note.text},
        submit=gettext("Keep this note"),
        back=(reverse("scoring:horse", args=[note.horse]), horse.name),
        zone=yards.get_yard(viewer, horse.yard.ref).time_zone,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.correct(viewer, id, raw, now=now)
        return f"{reverse('scoring:horse', args=[note.horse])}#notes"

    return forms.answered(request, viewer, form, act, now=now)


def _who() -> str:
    return gettext(
        "Only vets whose grant covers this horse and coordinators read it. It is never altered: "
        "what is wrong is corrected by a later note."
    )


@require_safe
@screen("clinical notes", "horse")
def notes(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show every clinical note of a horse, newest first; this page is the one to print."""
    card = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.READ_CLINICAL)
    zone = yards.get_yard(viewer, card.yard.ref).time_zone
    page = queries.list_notes(viewer, id, cursor=request.GET.get("cursor") or None)
    context = {
        "title": gettext("Clinical notes: {name}").format(name=bidi.isolated(card.name)),
        "lead": gettext("For vets and coordinators only. Newest first. Times in {zone}.").format(
            zone=zone
        ),
        "back": (reverse("scoring:horse", args=[id]), card.name),
        "horse_name": card.name,
        "notes": vet_shown.notes(viewer, page.items, zone),
        "older": tables.query(cursor=page.next) if page.next else "",
        "newer": tables.query(cursor=page.previous) if page.previous else "",
    }
    return frame.page(request, viewer, "scoring/notes.html", context, now=now, zone=zone)
