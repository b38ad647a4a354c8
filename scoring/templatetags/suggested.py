"""What the findings suggest, beside the questions that were answered."""

from typing import Any

from django import template
from django.utils.safestring import SafeString

from scoring.queries import suggesting

register = template.Library()

# What could end the attribute or begin markup, as JSON may write it.
_ESCAPED = str.maketrans({mark: f"\\u{ord(mark):04X}" for mark in "&<>'"})


@register.filter
def in_single_quotes(text: str) -> SafeString:
    """Return JSON for an attribute in single quotes: with an entity for each of its own quotation
    marks, a scoring page would be 200 bytes longer over the wire."""
    return SafeString(text.translate(_ESCAPED))


@register.inclusion_tag("scoring/parts/suggested.html")
def suggested(form: Any, scale: str, place: str, sex: str) -> dict[str, str]:
    """Write what was suggested for one place; nothing, for a script to fill, where nothing was."""
    return {"place": place, "text": suggesting.said(form.values, scale, sex).get(place, "")}


@register.simple_tag
def findings_table(scale: str) -> SafeString:
    """Return the findings of a scale for the page's script."""
    return in_single_quotes(suggesting.table(scale))


@register.simple_tag
def reason_words(scale: str) -> SafeString:
    """Return the sentences that the page's script fills in."""
    return in_single_quotes(suggesting.words(scale))
