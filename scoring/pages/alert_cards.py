"""The cards of an alert's page are one form: what was typed into one outlives another's button.

Each card has names of its own, so that what is sent tells which card it was typed into.
"""

from collections.abc import Mapping
from typing import Any

from yards.pages import sheets

# The fields of each card, and those of them that hold a person's own words.
FIELDS: Mapping[str, tuple[str, ...]] = {
    "acknowledge": ("version", "next_step", "by", "note"),
    "resolve": ("version", "reason", "vet_said"),
    "assign": ("version", "person"),
    "snooze": ("version", "until", "why"),
    "comment": ("id", "text"),
}
WORDS = frozenset({"next_step", "note", "reason", "vet_said", "why", "text"})


def typed(values: Mapping[str, Any]) -> dict[str, sheets.Sheet]:
    """Return what was typed by card."""
    return {
        card: sheets.Sheet({name: values[name] for name in names if name in values})
        for card, names in FIELDS.items()
    }


def left_over(
    sent: Mapping[str, sheets.Sheet], done: str, offered: Mapping[str, str]
) -> dict[str, sheets.Sheet]:
    """Return the cards besides the one that was done in which somebody's own words stand; what was
    ``offered`` there is nobody's."""
    return {
        card: sheet
        for card, sheet in sent.items()
        if card != done
        and any(
            name in WORDS and value.strip() not in ("", offered.get(name))
            for name, value in sheet.values.items()
        )
    }
