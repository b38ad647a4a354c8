"""How a finished score is said: its regions as felt and as used, its fingerprint in groups."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import template

from scoring.templatetags import drawings
from yards.templatetags.house import part

register = template.Library()


@dataclass(frozen=True, slots=True)
class Line:
    """One region of an answer: what the hand felt, what counted, whether it is the fattest."""

    name: str
    felt: Decimal | None
    used: Decimal | None
    fattest: bool


@register.filter
def lines(scored: Any) -> list[Line]:
    """Return the three regions head to tail; every fattest one is marked, ties too."""
    felt, used = part(scored, "regions") or {}, part(scored, "regions_used") or {}
    fattest = part(scored, "fattest") or ()
    found = []
    for key, (_, name) in drawings.names().items():
        title = name[:1].upper() + name[1:]
        found.append(Line(title, part(felt, key), part(used, key), key in fattest))
    return found


@register.filter
def groups(fingerprint: object) -> str:
    """Return a hexadecimal fingerprint in groups of eight, as people compare it."""
    text = str(fingerprint or "")
    return " ".join(text[start : start + 8] for start in range(0, len(text), 8))
