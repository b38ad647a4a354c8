"""Small things every page needs: a telephone number as a link."""

from django import template

register = template.Library()

_DIALLED = frozenset("0123456789*#")


@register.filter
def tel(number: object) -> str:
    """Return the ``tel:`` address (RFC 3966) of a number as people write it, + kept."""
    text = str(number or "").strip()
    digits = "".join(character for character in text if character in _DIALLED)
    return f"tel:+{digits}" if text.startswith("+") else f"tel:{digits}"
