"""Weights: take one by tape, on scales or by eye, and put one right."""

from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from scoring.actions import weighings as actions
from scoring.pages import choices, weigh_controls
from scoring.queries import weighings as queries
from scoring.queries import weight_formulas, wording
from yards.access import doors
from yards.pages import controls, forms
from yards.pages.controls import Control, moment, quantity
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer

FORMULA = "formula"


@require_http_methods(forms.METHODS)
@screen("weigh", "horse")
def weigh(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Record a weight."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RECORD_READINGS)
    zone = yards.get_yard(viewer, horse.yard.ref).time_zone
    form = forms.Form(
        title=gettext("Weigh {name}").format(name=bidi.isolated(horse.name)),
        lead=_lead(),
        caution=weight_formulas.caution(),
        controls=_controls(viewer, zone),
        submit=gettext("Save weight"),
        back=(reverse("scoring:horse", args=[id]), horse.name),
        start={"taken_at": controls.local(now.astimezone(ZoneInfo(zone))), "method": "weigh_tape"},
        zone=zone,
        template="scoring/weigh.html",
        more={
            "ways": weigh_controls.ways(id, "scoring:weigh"),
            "help": weigh_controls.help_text(),
        },
        asked_then=weigh_controls.sure,
    )

    def act(raw: dict[str, Any]) -> str:
        is_sure = raw.pop(weigh_controls.SURE, None) is not None
        sent = {**raw, "horse": str(id)}
        made = actions.record_weighing(viewer, sent, now=now, asks=not is_sure)
        return reverse("scoring:weighed", args=[made.id])

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("correct weighing", "weighing")
def correct_weighing(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Put a weight right; the old one stays, struck."""
    old = queries.get_weighing(viewer, id)
    doors.require(viewer, Verb.CORRECT_READINGS)
    why = Control("reason", gettext("Why it is corrected"), hint=gettext("Misread, wrong horse"))
    form = forms.Form(
        title=gettext("Correct a weight of {name}").format(name=bidi.isolated(old.horse_name)),
        lead=_old_stays(old),
        caution=weight_formulas.caution(),
        controls=(why, *_controls(viewer, old.time_zone, old)),
        submit=gettext("Save correction"),
        back=(reverse("scoring:horse", args=[old.horse]), old.horse_name),
        start=_start(old),
        zone=old.time_zone,
    )

    def act(raw: dict[str, Any]) -> str:
        by_formula = raw.get("method") == FORMULA
        kept = {"formula": old.formula, "measures": dict(old.measures)} if by_formula else {}
        if not by_formula:
            raw.pop("measures", None)
        whole = {**kept, **raw, "horse": str(old.horse)}
        made = actions.correct_weighing(viewer, id, whole, now=now)
        return reverse("scoring:horse", args=[made.horse])

    return forms.answered(request, viewer, form, act, now=now)


def _lead() -> str:
    return gettext(
        "A tape lies at the lowest point of the withers, close behind the elbow, a little forward "
        "of the girth, untwisted, and is read at the same hour each time."
    )


def _old_stays(old: queries.WeighingAnswer) -> str:
    stays = gettext("The old weight stays in the record, struck, beside the new one.")
    if not _is_listed(old):
        return stays
    told = gettext(
        "{stays} By the formula: {formula}. Put right a measure and leave the weight out."
    )
    return told.format(stays=stays, formula=wording.formula(old.formula))


def _is_listed(old: queries.WeighingAnswer | None) -> bool:
    """Return whether a weight is one by a formula that the server can work out again."""
    return old is not None and weight_formulas.is_listed(old.formula)


def _start(old: queries.WeighingAnswer) -> dict[str, Any]:
    """Return what a correction begins with; a listed formula's weight is worked out anew."""
    listed = _is_listed(old)
    return {
        "taken_at": controls.local(old.corrected_taken_at.astimezone(ZoneInfo(old.time_zone))),
        "method": old.method,
        "instrument": str(old.instrument or ""),
        "weight_kg": "" if listed else controls.start(controls.WEIGHT, old.weight_kg),
        "fed": old.fed,
        "tape_side": old.tape_side,
        "tape_position": old.tape_position,
        **(weigh_controls.starts(old.measures) if listed else {}),
    }


def _controls(
    viewer: Viewer, zone: str, old: queries.WeighingAnswer | None = None
) -> tuple[Control, ...]:
    methods = ["weigh_tape", "weighbridge", "estimate"]
    if old is not None and old.method == FORMULA:
        methods.append(FORMULA)
    card = weight_formulas.find_formula(old.formula) if old is not None else None
    return (
        Control(
            "method",
            gettext("How it was weighed"),
            "segments",
            choices=[(each, choices.method(each).capitalize()) for each in methods],
        ),
        weigh_controls.instrument(viewer),
        *_measures(card, old),
        _weight(old),
        *weigh_controls.laid(),
        weigh_controls.fed(),
        moment("taken_at", gettext("When"), zone, kept=old.corrected_taken_at if old else None),
    )


def _measures(
    card: weight_formulas.FormulaCard | None, old: queries.WeighingAnswer | None
) -> tuple[Control, ...]:
    if card is None or old is None:
        return ()
    return weigh_controls.measures(card.measures, old.measures)


def _weight(old: queries.WeighingAnswer | None) -> Control:
    kept: Decimal | None = None if old is None or _is_listed(old) else old.weight_kg
    hint = gettext("Left out, it is worked out from the measures.") if _is_listed(old) else ""
    return quantity("weight_kg", gettext("Weight"), controls.WEIGHT, hint, kept=kept)
