"""A weight that was taken: what it came to, how far out it may be, and what was unusual."""

from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from scoring.pages import choices, formula_labels, saved
from scoring.queries import fixture_words, weight_formulas, wording
from scoring.queries import weighings as queries
from scoring.rules import tape
from yards.pages import frame, words
from yards.pages.screen import screen
from yards.queries import tastes
from yards.rules.roles import Verb, Viewer, may


@require_safe
@screen("weighed", "weighing")
def weighed(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show one weight with its likely error, the caution, and what breaks the habit."""
    found = queries.get_weighing(viewer, id)
    error, card = found.likely_error_kg, weight_formulas.find_formula(found.formula)
    context = {
        "weighed": found,
        "weight": tastes.weight(found.weight_kg),
        "error": formula_labels.whole(error) if error is not None else "",
        "means": card.errors[-1].means if card is not None else "",
        "is_estimate": found.method != "weighbridge",
        "caution": weight_formulas.caution(),
        "saved": saved.said(viewer, found.recorded_by, found.received_at, now=now),
        "when": words.at(found.corrected_taken_at, found.time_zone),
        "facts": _facts(found),
        "notes": [wording.say(each.key, each.params) for each in found.warnings],
        "may_correct": found.superseded_by is None and may(viewer, Verb.CORRECT_READINGS),
    }
    return frame.page(
        request, viewer, "scoring/weighed.html", context, now=now, zone=found.time_zone
    )


def _how(found: queries.WeighingAnswer) -> str:
    named = [choices.method(found.method).capitalize(), found.instrument_label]
    return ", ".join(each for each in named if each)


def _facts(found: queries.WeighingAnswer) -> list[tuple[str, str]]:
    """Return what was noted with it, a line each."""
    told = [
        (gettext("How"), _how(found)),
        *_by_formula(found),
        (gettext("Tape on the withers"), _place(found.tape_position)),
        (gettext("Read on"), choices.side(found.tape_side) if found.tape_side else ""),
        (gettext("Feed"), choices.fed(found.fed) if found.fed else ""),
        (gettext("Assessor"), found.assessor.name),
        (gettext("Corrected by"), found.recorded_by_name if found.supersedes else ""),
        (gettext("Correction"), found.reason),
    ]
    return [each for each in told if each[1]]


def _by_formula(found: queries.WeighingAnswer) -> list[tuple[str, str]]:
    if not found.formula:
        return []
    card = weight_formulas.find_formula(found.formula)
    if card is None:
        return [(gettext("Formula"), found.formula)]
    measured = [
        (each.title, _measure(each.field, Decimal(found.measures[each.field])))
        for each in card.measures
        if each.field in found.measures
    ]
    return [(gettext("Formula"), card.title), *measured]


def _measure(field: str, cm: Decimal) -> str:
    return tastes.height(cm) if field == "height_cm" else tastes.length(cm)


def _place(position: str) -> str:
    return fixture_words.said(tape.position_texts()[position]) if position else ""
