"""How a standing is said: an alert's rank in ink, a rate with its sign, who needs something."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import template
from django.template.defaultfilters import floatformat
from django.utils.translation import gettext

from scoring.queries import wording
from yards.templatetags.house import part

register = template.Library()

# Urgency is ink, never hue: solid block, thick left edge, plain outline; dashed once answered.
RANKS: Mapping[str, str] = {"urgent": "escalate", "act": "alert", "watch": "due"}
NOTHING_TO_DO = "nothing_to_do"


@register.filter
def rank(alert: Any) -> str:
    """Return the class that says how urgent an alert is; an answered one is only noted."""
    if is_passed(alert):
        return RANKS["act"]
    if not is_open(alert):
        return "note"
    return "escalate" if part(alert, "escalated") else RANKS[part(alert, "severity")]


@register.filter
def is_open(alert: Any) -> bool:
    """Return whether nobody has answered the alert yet."""
    return bool(part(alert, "state") == "open")


def is_passed(alert: Any) -> bool:
    """Return whether the alert is told with a next step whose time has passed."""
    return isinstance(alert, Mapping) and bool(alert.get("passed"))


@register.filter
def haste(alert: Any) -> str:
    """Return the words printed beside the ink: how soon, or how it was answered."""
    if is_open(alert) and part(alert, "escalated"):
        return gettext("Call the vet")
    if is_passed(alert):
        return gettext("Step passed")
    if is_open(alert):
        return wording.haste(part(alert, "severity"))
    return wording.state(part(alert, "state"))


@register.filter
def signed(rate: Decimal | float) -> str:
    """Return a rate with two places and its sign, a true minus among the signs."""
    size = floatformat(abs(rate), 2)
    nothing = round(Decimal(str(rate)), 2) == 0
    return size if nothing else ("+" if rate > 0 else "−") + size


@register.filter
def pressing(due: Any) -> bool:
    """Return whether an assessment is due or overdue."""
    return part(due, "state") in {"due", "overdue"}


@register.simple_tag
def horses(groups: Iterable[Any], only_needing: bool = False) -> int:
    """Return how many horses the groups hold, or how many of them need something."""
    return sum(
        len(part(group, "rows"))
        for group in groups
        if not (only_needing and part(group, "key") == NOTHING_TO_DO)
    )
