"""Links from where a word is used to where it is explained, each named for what it explains."""

from django import template
from django.urls import reverse

from scoring.queries import help_words

register = template.Library()


@register.inclusion_tag("scoring/parts/meanings.html")
def meanings(*keys: str) -> dict[str, object]:
    """Link the words of a page to their meanings; KeyError for one that is not explained."""
    page = reverse("scoring:help_words")
    return {"words": [(f"{page}#{key}", help_words.title(key)) for key in keys]}
