"""The staggered ruler, and what it is made of."""

from collections.abc import Iterable, Sequence
from typing import Any

from django import template

from scoring.templatetags import drawings
from yards.templatetags import fields

register = template.Library()

Choices = Iterable[tuple[str, str]]


@register.inclusion_tag("scoring/parts/ruler.html")
def ruler(
    form: Any, name: str, legend: str, choices: Choices, ends: Sequence[str]
) -> dict[str, Any]:
    """Write the staggered ruler: one radio for each half point, wholes above, halves below.

    'Not safe to palpate' is a radio of the same name with the value ``not_safe``, so that it and
    a score exclude each other without a script.
    """
    keys = fields.options(form, name, choices)
    edge, axis, width = drawings.ruler_edge(len(keys))
    return {
        **fields.field(form, name, legend),
        "keys": keys,
        "edge": edge,
        "axis": axis,
        "width": width,
        "ends": ends,
        "unsafe": "not_safe" in fields.chosen(form, name),
        "chosen": next((key.label for key in keys if key.on), ""),
    }
