"""What the findings suggest, beside the questions that were answered."""

from typing import Any

from django import template

from scoring.queries import suggesting

register = template.Library()


@register.inclusion_tag("scoring/parts/suggested.html")
def suggested(form: Any, scale: str, place: str, sex: str) -> dict[str, str]:
    """Write what was suggested for one place; nothing, for a script to fill, where nothing was."""
    return {"place": place, "text": suggesting.said(form.values, scale, sex).get(place, "")}


@register.simple_tag
def findings_table(scale: str) -> str:
    """Return the findings of a scale for the page's script."""
    return suggesting.table(scale)


@register.simple_tag
def reason_words(scale: str) -> str:
    """Return the sentences that the page's script fills in."""
    return suggesting.words(scale)
