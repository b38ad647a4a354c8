"""Why a threshold cannot be set further, either way."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext

from scoring.queries import rule_words
from scoring.rules import risk

# Of these sides a larger value finds less.
_LATER_UP = frozenset({"at_least", "more_than"})


def why(rule: str, row: Mapping[str, Any]) -> str:
    """Return why a threshold ends where it does: towards finding later, then towards sooner."""
    ends = [Decimal(row["least"]), Decimal(row["most"])]
    later, sooner = reversed(ends) if row["side"] in _LATER_UP else ends
    said = (_later(rule, row, later), _sooner(row, sooner))
    return " ".join(said)


def _later(rule: str, row: Mapping[str, Any], end: Decimal) -> str:
    if rule in risk.PROTECTS_LIFE:
        told = gettext(
            "No later than {value}: this rule protects life, so it may be set to find sooner only."
        )
    elif end == Decimal(row["default"]) and row["confidence"] != "ours":
        told = gettext("No later than {value}: that is where the source draws the line.")
    else:
        told = gettext("No later than {value}: it would pass over what the rule is for.")
    return told.format(value=rule_words.value(row, end))


def _sooner(row: Mapping[str, Any], end: Decimal) -> str:
    told = gettext("No sooner than {value}: it would tell of what is ordinary, and be unheeded.")
    return told.format(value=rule_words.value(row, end))
