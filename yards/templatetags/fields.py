"""Fields of the pages' forms: what was typed, what is wrong, and the controls that show both.

A form here is any object with ``values`` (dotted name to raw text, or a list of texts),
``errors`` (dotted name to messages), ``summary`` (a sentence, or nothing) and ``labels`` (dotted
name to what the field is called on the page).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import template

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


@register.filter
def typed(form: Any, name: str) -> str:
    """Return what was typed into a field, as it was typed."""
    value = form.values.get(name, "")
    return "" if value is None else str(value)


@register.filter
def faults(form: Any, name: str) -> list[str]:
    """Return what is wrong with a field."""
    return list(form.errors.get(name, ()))


def chosen(form: Any, name: str) -> frozenset[str]:
    """Return the values chosen under a name."""
    value = form.values.get(name) or ()
    return frozenset([value] if isinstance(value, str) else map(str, value))


def options(form: Any, name: str, choices: Choices) -> list[Option]:
    """Return the answers to choose from; the first has the field's own id, to be gone to."""
    picked = chosen(form, name)
    return [
        Option(value, label, name if place == 0 else f"{name}-{place}", value in picked)
        for place, (value, label) in enumerate(choices or ())
    ]


def field(form: Any, name: str, legend: str, hint: str = "") -> dict[str, Any]:
    """Return what every control shows."""
    return {
        "name": name,
        "legend": legend,
        "hint": hint,
        "value": typed(form, name),
        "faults": faults(form, name),
    }


@register.inclusion_tag("yards/parts/summary.html")
def summary(form: Any) -> dict[str, Any]:
    """List everything that is wrong, each with a link to its control."""
    known = form.labels
    lines = [
        Fault(known.get(name, ""), message, name if name in known else "")
        for name, messages in form.errors.items()
        for message in messages
    ]
    return {"lines": lines, "headline": form.summary}


@register.inclusion_tag("yards/parts/segments.html")
def segments(
    form: Any,
    name: str,
    legend: str,
    choices: Choices,
    *,
    number: int | str = "",
    hint: str = "",
    none: str = "",
) -> dict[str, Any]:
    """Write a question with a few answers side by side.

    ``none`` takes an answer back where no script does so by a second tap.
    """
    answers = options(form, name, choices)
    return {**field(form, name, legend, hint), "options": answers, "number": number, "none": none}


@register.inclusion_tag("yards/parts/ticks.html")
def ticks(form: Any, name: str, choices: Choices) -> dict[str, Any]:
    """Write ticks under one name."""
    return {"name": name, "options": options(form, name, choices)}


@register.inclusion_tag("yards/parts/entry.html")
def entry(
    form: Any, name: str, legend: str, *, kind: str = "text", hint: str = "", mode: str = ""
) -> dict[str, Any]:
    """Write a field to type into; ``kind`` is an input type, or ``area`` for several lines."""
    return {**field(form, name, legend, hint), "kind": kind, "mode": mode}


@register.inclusion_tag("yards/parts/pick.html")
def pick(
    form: Any, name: str, legend: str, choices: Choices, *, empty: str = "", hint: str = ""
) -> dict[str, Any]:
    """Write a list to pick one from; ``empty`` is what the first, empty line says."""
    answers = options(form, name, choices)
    return {**field(form, name, legend, hint), "options": answers, "empty": empty}


_INPUTS = {
    "moment": "datetime-local",
    "last_day": "date",
    "weight": "text",
    "height": "text",
    "length": "text",
}


@register.inclusion_tag("yards/parts/control.html")
def control(form: Any, asked: Any) -> dict[str, Any]:
    """Write one control of a form, of whatever kind it is."""
    return {
        **field(form, asked.name, asked.label, asked.hint),
        "kind": _INPUTS.get(asked.kind, asked.kind),
        "mode": asked.mode,
        "options": options(form, asked.name, asked.choices),
        "empty": asked.empty,
        "on": typed(form, asked.name) == "true",
        "unit": typed(form, f"unit.{asked.name}") or asked.unit,
    }
