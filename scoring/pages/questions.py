"""Questions to the vet: put, answered, withdrawn, and read again."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from scoring.actions import questions as actions
from scoring.pages import came, done, vet_tables
from scoring.queries import questions as queries
from yards.access import doors
from yards.pages import forms, frame, news, tables, words
from yards.pages.controls import Control
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules import bidi, errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("ask the vet", "horse")
def ask(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Put a question to the vet about a horse."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.ASK_VET)
    yard = yards.get_yard(viewer, horse.yard.ref)
    way = came.back(request, (reverse("scoring:horse", args=[id]), horse.name))
    form = forms.Form(
        title=gettext("A question to the vet about {name}").format(name=bidi.isolated(horse.name)),
        lead=gettext("It stands at the top of the vet's next visit until it is answered."),
        caution=gettext(
            "The vet is told by mail, in the yard's waking hours, that a question waits. For "
            "danger signs, and for whatever cannot wait, ring the vet now."
        ),
        vet=yard.vet,
        controls=(Control("text", gettext("Question"), "area"),),
        submit=gettext("Put this question"),
        back=way,
        zone=yard.time_zone,
    )

    def act(raw: dict[str, Any]) -> str:
        asked = actions.ask(viewer, id, raw, now=now)
        kind = done.UNTOLD if asked.told == 0 else done.ASKED
        return news.told(way[0], kind, asked.id, "said")

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("answer", "question")
def answer(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Answer an open question."""
    card, zone = _open(request, viewer, id, Verb.ANSWER_QUESTIONS)
    way = came.back(request, (reverse("scoring:horse", args=[card.horse]), card.horse_name))
    form = forms.Form(
        title=gettext("Answer a question about {name}").format(name=bidi.isolated(card.horse_name)),
        lead=_asked(card, zone),
        controls=(
            Control(
                "text",
                gettext("Answer"),
                "area",
                hint=gettext(
                    "Staff read it, and auditors whose grant shows notes; it cannot be changed. "
                    "What is for vets and coordinators only belongs in a clinical note."
                ),
            ),
        ),
        submit=gettext("Answer it"),
        back=way,
        zone=zone,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.answer(viewer, id, raw, now=now)
        return news.told(way[0], done.ANSWER, id, "said")

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("withdraw a question", "question")
def withdraw(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Take an open question back, with a reason."""
    card, zone = _open(request, viewer, id, Verb.ASK_VET)
    if card.asked_by.id != viewer.person:
        doors.require(viewer, Verb.WITHDRAW_QUESTIONS)
    way = came.back(request, (reverse("scoring:horse", args=[card.horse]), card.horse_name))
    form = forms.Form(
        title=gettext("Withdraw a question about {name}").format(
            name=bidi.isolated(card.horse_name)
        ),
        lead=_asked(card, zone),
        controls=(Control("reason", gettext("Reason"), "area"),),
        submit=gettext("Withdraw it"),
        back=way,
        zone=zone,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.withdraw(viewer, id, raw, now=now)
        return news.told(way[0], done.WITHDRAWN, id, "said")

    return forms.answered(request, viewer, form, act, now=now)


def _open(
    request: HttpRequest, viewer: Viewer, ref: UUID, verb: Verb
) -> tuple[queries.QuestionCard, str]:
    """Return a question that may be ended, and its yard's zone; sent again it may have been."""
    card = queries.get_question(viewer, ref)
    doors.require(viewer, verb)
    if card.end is not None and request.method != "POST":
        raise errors.Conflict(FieldError("", "question_has_ended"))
    horse = horses.get_horse(viewer, card.horse)
    return card, yards.get_yard(viewer, horse.yard.ref).time_zone


def _asked(card: queries.QuestionCard, zone: str) -> str:
    told = gettext("{who} asked on {on}: {text}")
    return told.format(
        who=bidi.isolated(card.asked_by.name),
        on=words.day(card.asked_at, zone),
        text=bidi.isolated(card.text),
    )


@require_safe
@screen("questions", "horse")
def questions(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """List every question about a horse, newest first."""
    card = horses.get_horse(viewer, id)
    zone = yards.get_yard(viewer, card.yard.ref).time_zone
    page = queries.list_questions(
        viewer, queries.Wanted(horse=id), cursor=request.GET.get("cursor") or None
    )
    older = tables.query(cursor=page.next) if page.next else ""
    hint = gettext("What can wait for the next visit is asked on the horse's own page.")
    context = {
        "title": gettext("Questions to the vet: {name}").format(name=bidi.isolated(card.name)),
        "lead": gettext("Newest first. Times in {zone}.").format(zone=zone),
        "back": (reverse("scoring:horse", args=[id]), card.name),
        "table": vet_tables.questions(viewer, page.items, zone, older=older, hint=hint),
    }
    return frame.page(request, viewer, "yards/list.html", context, now=now, zone=zone)
