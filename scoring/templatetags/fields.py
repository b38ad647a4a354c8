"""Fields of the pages' forms: what was typed, what is wrong, and the controls that show both.

A form here is any object with ``values`` (dotted name to raw text, or a list of texts),
``errors`` (dotted name to messages) and ``summary`` (a sentence, or nothing).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django import template
from django.utils.translation import gettext

from scoring.templatetags import drawings

register = template.Library()

Choices = Iterable[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Option:
    """One radio, tick or entry of a list, and whether it was chosen."""

    value: str
    label: str
    id: str
    on: bool


@dataclass(frozen=True, slots=True)
class Fault:
    """One line of the summary: what is wrong, and the control to go to, if the page has it."""

    label: str
    message: str
    target: str


def labels() -> dict[str, str]:
    """Return what each field is called on the page, in the reader's language."""
    return {
        "by_eye": gettext("By-eye estimate"),
        "danger_signs": gettext("Danger signs"),
        "manner": gettext("How it was scored"),
        "regions.neck_and_shoulder": gettext("Neck and shoulder"),
        "regions.back_and_ribs": gettext("Back and ribs"),
        "regions.hindquarters": gettext("Hindquarters"),
        "overall": gettext("Score for the whole animal"),
        "fat_pocket": gettext("Fat pocket behind shoulder"),
        "crest": gettext("Crest"),
        "appetite": gettext("Appetite"),
        "muscle": gettext("Muscle"),
        "coat": gettext("Coat"),
        "rug_off": gettext("Rug"),
        "held_by": gettext("Who held"),
        "limits": gettext("What limited the score"),
        "weighing.method": gettext("How it was weighed"),
        "weighing.instrument": gettext("Which tape or scales"),
        "weighing.weight_kg": gettext("Weight, kg"),
        "taken_at": gettext("When"),
        "note": gettext("Note"),
        "next_step": gettext("Next step"),
        "by": gettext("By when"),
        "reason": gettext("Reason"),
        "vet_said": gettext("What the vet said"),
    }


@register.filter
def typed(form: Any, name: str) -> str:
    """Return what was typed into a field, as it was typed."""
    value = form.values.get(name, "")
    return "" if value is None else str(value)


@register.filter
def faults(form: Any, name: str) -> list[str]:
    """Return what is wrong with a field."""
    return list(form.errors.get(name, ()))


def _chosen(form: Any, name: str) -> frozenset[str]:
    value = form.values.get(name) or ()
    return frozenset([value] if isinstance(value, str) else map(str, value))


def _options(form: Any, name: str, choices: Choices) -> list[Option]:
    chosen = _chosen(form, name)
    return [
        Option(value, label, name if place == 0 else f"{name}-{place}", value in chosen)
        for place, (value, label) in enumerate(choices or ())
    ]


def _field(form: Any, name: str, legend: str, hint: str = "") -> dict[str, Any]:
    return {
        "name": name,
        "legend": legend,
        "hint": hint,
        "value": typed(form, name),
        "faults": faults(form, name),
    }


@register.inclusion_tag("scoring/parts/summary.html")
def summary(form: Any) -> dict[str, Any]:
    """List everything that is wrong, each with a link to its control."""
    known = labels()
    lines = [
        Fault(known.get(name, ""), message, name if name in known else "")
        for name, messages in form.errors.items()
        for message in messages
    ]
    return {"lines": lines, "headline": form.summary}


@register.inclusion_tag("scoring/parts/segments.html")
def segments(
    form: Any, name: str, legend: str, choices: Choices, *, number: int | str = "", hint: str = ""
) -> dict[str, Any]:
    """Write a question with a few answers side by side."""
    options = _options(form, name, choices)
    return {**_field(form, name, legend, hint), "options": options, "number": number}


@register.inclusion_tag("scoring/parts/ticks.html")
def ticks(form: Any, name: str, choices: Choices) -> dict[str, Any]:
    """Write ticks under one name."""
    return {"name": name, "options": _options(form, name, choices)}


@register.inclusion_tag("scoring/parts/ruler.html")
def ruler(
    form: Any, name: str, legend: str, choices: Choices, ends: Sequence[str]
) -> dict[str, Any]:
    """Write the staggered ruler: one radio for each half point, wholes above, halves below.

    'Not safe to palpate' is a radio of the same name with the value ``not_safe``, so that it and
    a score exclude each other without a script.
    """
    keys = _options(form, name, choices)
    edge, axis, width = drawings.ruler_edge(len(keys))
    return {
        **_field(form, name, legend),
        "keys": keys,
        "edge": edge,
        "axis": axis,
        "width": width,
        "ends": ends,
        "unsafe": "not_safe" in _chosen(form, name),
        "chosen": next((key.label for key in keys if key.on), ""),
    }


@register.inclusion_tag("scoring/parts/entry.html")
def entry(
    form: Any, name: str, legend: str, *, kind: str = "text", hint: str = "", mode: str = ""
) -> dict[str, Any]:
    """Write a field to type into; ``kind`` is an input type, or ``area`` for several lines."""
    return {**_field(form, name, legend, hint), "kind": kind, "mode": mode}


@register.inclusion_tag("scoring/parts/pick.html")
def pick(
    form: Any, name: str, legend: str, choices: Choices, *, empty: str = "", hint: str = ""
) -> dict[str, Any]:
    """Write a list to pick one from; ``empty`` is what the first, empty line says."""
    options = _options(form, name, choices)
    return {**_field(form, name, legend, hint), "options": options, "empty": empty}
