"""Weights: take one, put one right, read a horse's."""

from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from scoring.actions import weighings as actions
from scoring.pages import choices
from scoring.queries import instruments
from scoring.queries import weighings as queries
from yards.access import doors
from yards.pages import controls, forms
from yards.pages.controls import Control, moment, quantity
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("weigh", "horse")
def weigh(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Record a weight."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RECORD_READINGS)
    zone = yards.get_yard(viewer, horse.yard.ref).time_zone
    form = forms.Form(
        title=gettext("Weigh {name}").format(name=horse.name),
        lead=_lead(),
        caution=_caution(),
        controls=_controls(viewer, zone),
        submit=gettext("Save weight"),
        back=(reverse("scoring:horse", args=[id]), horse.name),
        start={"taken_at": controls.local(now.astimezone(ZoneInfo(zone))), "method": "weigh_tape"},
        zone=zone,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.record_weighing(viewer, {**raw, "horse": str(id)}, now=now)
        return reverse("scoring:horse", args=[id])

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("correct weighing", "weighing")
def correct_weighing(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Put a weight right; the old one stays, struck."""
    old = queries.get_weighing(viewer, id)
    doors.require(viewer, Verb.CORRECT_READINGS)
    why = Control("reason", gettext("Why it is corrected"), hint=gettext("Misread, wrong horse"))
    form = forms.Form(
        title=gettext("Correct a weight of {name}").format(name=old.horse_name),
        lead=gettext("The old weight stays in the record, struck, beside the new one."),
        caution=_caution(),
        controls=(why, *_controls(viewer, old.time_zone, old)),
        submit=gettext("Save correction"),
        back=(reverse("scoring:horse", args=[old.horse]), old.horse_name),
        start={
            "taken_at": controls.local(old.corrected_taken_at.astimezone(ZoneInfo(old.time_zone))),
            "method": old.method,
            "instrument": str(old.instrument or ""),
            "weight_kg": controls.start(controls.WEIGHT, old.weight_kg),
            "fed": old.fed,
        },
        zone=old.time_zone,
    )

    def act(raw: dict[str, Any]) -> str:
        kept = {"formula": old.formula, "measures": dict(old.measures)}
        by_formula = kept if raw.get("method") == "formula" else {}
        whole = {**by_formula, **raw, "horse": str(old.horse)}
        made = actions.correct_weighing(viewer, id, whole, now=now)
        return reverse("scoring:horse", args=[made.horse])

    return forms.answered(request, viewer, form, act, now=now)


def _lead() -> str:
    return gettext(
        "A tape lies at the lowest point of the withers, close behind the elbow, a little forward "
        "of the girth, untwisted, and is read at the same hour each time."
    )


def _caution() -> str:
    return gettext("Estimate: not for drug doses without the vet.")


def _controls(
    viewer: Viewer, zone: str, old: queries.WeighingAnswer | None = None
) -> tuple[Control, ...]:
    named = [(str(each.id), each.label) for each in instruments.choose_instruments(viewer)]
    methods = ["weigh_tape", "weighbridge", "estimate"]
    if old is not None and old.method == "formula":
        methods.append("formula")
    return (
        Control(
            "method",
            gettext("How it was weighed"),
            "segments",
            choices=[(each, choices.method(each).capitalize()) for each in methods],
        ),
        Control(
            "instrument",
            gettext("Which tape or scales"),
            "pick",
            choices=named,
            empty=gettext("None named"),
            hint=gettext("Tapes differ: name yours, so that its readings are held together."),
        ),
        quantity(
            "weight_kg", gettext("Weight"), controls.WEIGHT, kept=old.weight_kg if old else None
        ),
        Control(
            "fed",
            gettext("Before or after feed"),
            "pick",
            choices=[
                ("before_feed", gettext("Before feed")),
                ("after_feed", gettext("After feed")),
            ],
            empty=gettext("Not noted"),
        ),
        moment("taken_at", gettext("When"), zone, kept=old.corrected_taken_at if old else None),
    )
