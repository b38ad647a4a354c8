"""Record a concern: danger signs seen, with no score."""

from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from scoring.actions import concerns as actions
from scoring.queries import wording
from scoring.rules import danger
from yards.access import doors
from yards.pages import controls, forms
from yards.pages.controls import Control, moment
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("concern", "horse")
def concern(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Say what was seen; the alert that it opens is where this leads."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RECORD_READINGS)
    yard = yards.get_yard(viewer, horse.yard.ref)
    form = forms.Form(
        title=gettext("A concern about {name}").format(name=bidi.isolated(horse.name)),
        lead=gettext("No score is needed. It goes to the people who must know, at once."),
        caution=gettext(
            "In doubt, ring the vet first and write afterwards. Change no feed before the vet has "
            "spoken, and do not stay beside a horse that may go down."
        ),
        vet=yard.vet,
        controls=(
            Control(
                "danger_signs",
                gettext("Danger signs"),
                "ticks",
                choices=[(name, wording.sign(name)) for name in danger.signs()],
            ),
            Control("note", gettext("What was seen"), "area"),
            moment("seen_at", gettext("When"), yard.time_zone),
        ),
        submit=gettext("Send this concern"),
        back=(reverse("scoring:horse", args=[id]), horse.name),
        start={"seen_at": controls.local(now.astimezone(ZoneInfo(yard.time_zone)))},
        zone=yard.time_zone,
    )

    def act(raw: dict[str, Any]) -> str:
        made = actions.record_concern(viewer, id, raw, now=now)
        if made.alerts:
            return reverse("scoring:alert", args=[made.alerts[0].id])
        return reverse("scoring:horse", args=[id])

    return forms.answered(request, viewer, form, act, now=now)
