"""Small things every page needs: a number to dial, quantities in the reader's units."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from django import template

from yards.queries import tastes
from yards.rules import bidi

register = template.Library()

_DIALLED = frozenset("0123456789*#")


def part(owner: Any, name: str) -> Any:
    """Return what something has under a name, be it a mapping or an object; None if nothing."""
    return owner.get(name) if isinstance(owner, Mapping) else getattr(owner, name, None)


@register.filter
def tel(number: object) -> str:
    """Return the ``tel:`` address (RFC 3966) of a number as people write it, + kept."""
    text = str(number or "").strip()
    digits = "".join(character for character in text if character in _DIALLED)
    return f"tel:+{digits}" if text.startswith("+") else f"tel:{digits}"


@register.filter
def weight(kg: Decimal | float | str | None) -> str:
    """Return kilograms in the reader's unit, named."""
    return tastes.weight(kg)


@register.filter
def height(cm: Decimal | float | str | None) -> str:
    """Return centimetres at the withers in the reader's unit, named."""
    return tastes.height(cm)


@register.filter
def under(row: Any, columns: Sequence[str]) -> list[tuple[str, Any]]:
    """Return a row's cells, each with the head of its column."""
    return list(zip(columns, row.cells, strict=True))


@register.filter
def isolated(name: object) -> str:
    """Return a name for a sentence that has no markup: it cannot turn the words around it."""
    return bidi.isolated(str(name or ""))
