"""Weigh by girth and length: a named formula that fits the animal, worked out, then saved."""

from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from scoring.actions import weighings as actions
from scoring.pages import weigh_controls
from scoring.pages.formula_labels import FormulaLabel, labelled, whole
from scoring.queries import weight_formulas, wording
from scoring.queries.weight_formulas import EstimateCard, FormulaCard
from yards.access import doors
from yards.pages import controls, forms, sheets, tables
from yards.pages.controls import moment
from yards.pages.screen import screen
from yards.queries import horses, tastes, yards
from yards.rules import bidi, errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

# What the first of the two presses sends: work it out, save nothing.
STEP, WORK = "step", "work"


@require_http_methods(forms.METHODS)
@screen("weigh", "horse")
def measure(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Choose a formula, give its measures, see what it makes of them, and record that."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RECORD_READINGS)
    offered = weight_formulas.fitting(viewer, id, now=now)
    chosen = _chosen(offered, request)
    zone = yards.get_yard(viewer, horse.yard.ref).time_zone
    form = _form(horse, zone, offered, chosen, now)
    if chosen is None:
        return forms.page(request, viewer, form, now=now)

    def act(raw: dict[str, Any]) -> str | HttpResponse:
        is_sure = raw.pop(weigh_controls.SURE, None) is not None
        if raw.pop(STEP, "") == WORK:
            found = _estimated(viewer, chosen, raw.get("measures"), id, now)
            shown = sheets.Sheet(sheets.typed(request.POST))
            # The caution stands inside the estimate then, where the page opens.
            told = replace(form, caution="", more={**form.more, "estimate": _estimate(found)})
            return forms.page(request, viewer, told, now=now, sent=shown)
        sent = {**raw, "horse": str(id), "method": "formula", "formula": chosen.id}
        made = actions.record_weighing(viewer, sent, now=now, asks=not is_sure)
        return reverse("scoring:weighed", args=[made.id])

    return forms.answered(request, viewer, form, act, now=now)


def _chosen(offered: list[FormulaCard], request: HttpRequest) -> FormulaCard | None:
    """Return the formula that the address names, or the one that fits best."""
    named = request.GET.get("formula", "")
    return next((each for each in offered if each.id == named), next(iter(offered), None))


def _form(
    horse: horses.HorseCard,
    zone: str,
    offered: list[FormulaCard],
    chosen: FormulaCard | None,
    now: datetime,
) -> forms.Form:
    asked = () if chosen is None else _controls(chosen, zone)
    return forms.Form(
        title=gettext("Weigh {name}").format(name=bidi.isolated(horse.name)),
        lead=gettext("A weight worked out from a tape measure, by a published formula."),
        caution=weight_formulas.caution(),
        controls=asked,
        submit=gettext("Save weight"),
        back=(reverse("scoring:horse", args=[horse.ref]), horse.name),
        start={"taken_at": controls.local(now.astimezone(ZoneInfo(zone)))},
        zone=zone,
        template="scoring/measure.html",
        more={
            "ways": weigh_controls.ways(horse.ref, "scoring:measure"),
            "help": weigh_controls.help_text(),
            "chosen": labelled(chosen, horse.height_cm) if chosen is not None else None,
            "others": _others(horse, offered, chosen),
            "estimate": None,
        },
        asked_then=weigh_controls.sure,
    )


def _controls(chosen: FormulaCard, zone: str) -> tuple[controls.Control, ...]:
    return (
        *weigh_controls.measures(chosen.measures),
        *weigh_controls.laid(),
        weigh_controls.fed(),
        moment("taken_at", gettext("When"), zone),
    )


def _others(
    horse: horses.HorseCard, offered: list[FormulaCard], chosen: FormulaCard | None
) -> list[tuple[str, FormulaLabel]]:
    page = reverse("scoring:measure", args=[horse.ref])
    return [
        (f"{page}{tables.query(formula=each.id)}", labelled(each, horse.height_cm))
        for each in offered
        if chosen is not None and each.id != chosen.id
    ]


def _estimated(
    viewer: Viewer, chosen: FormulaCard, measures: object, horse: UUID, now: datetime
) -> EstimateCard:
    """Return what the formula makes of what was typed; what is refused stands at its field."""
    sent = measures if isinstance(measures, dict) else {}
    raw = {**sent, "formula": chosen.id, "horse": str(horse)}
    try:
        return weight_formulas.estimate(viewer, raw, now=now)
    except errors.Invalid as refused:
        raise errors.Invalid(*(_at_measure(each) for each in refused.errors)) from refused


def _at_measure(fault: FieldError) -> FieldError:
    if not fault.field.endswith("_cm"):
        return fault
    return FieldError(f"{weigh_controls.MEASURES}{fault.field}", fault.key, fault.params)


def _estimate(found: EstimateCard) -> dict[str, Any]:
    return {
        "weight": tastes.weight(found.weight_kg),
        "error": whole(found.likely_error_kg),
        "means": found.means,
        "caution": found.caution,
        "notes": [wording.say(each.key, each.params) for each in found.warnings],
    }
