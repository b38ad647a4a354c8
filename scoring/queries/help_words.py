"""What each word of the pages means, in the reader's language, in the order in which they are met.

Each has a key, which is its place on the page of words and what a page names where it uses it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from scoring.queries import help_words_after, help_words_felt
from scoring.rules import chart_shape
from yards.queries import tastes


@dataclass(frozen=True, slots=True)
class Term:
    """A word, what it means, whose word it is where it was published, and the page on it."""

    key: str
    title: str
    text: str
    source: str
    page: str


@dataclass(frozen=True, slots=True)
class Group:
    """Words that belong together, under a key that is a place on the page too."""

    key: str
    title: str
    terms: tuple[Term, ...]


# Key and title of each group, and its rows: key, title, text, source, page of help.
GROUPS = (
    ("scoring", _("Scoring"), help_words_felt.SCORING),
    ("weight", _("Weight"), help_words_felt.WEIGHT),
    ("level", _("What it comes to"), help_words_after.LEVEL),
    ("chart", _("The chart"), help_words_after.CHART),
    ("work", _("What is to be done"), help_words_after.WORK),
    ("alerts", _("Alerts"), help_words_after.ALERTS),
    ("record", _("The record"), help_words_after.RECORD),
)


def groups() -> tuple[Group, ...]:
    """Return every word by its group; {ten} is what a tape repeats within."""
    ten = tastes.weight(chart_shape.TAPE_REPEATS_KG)
    return tuple(
        Group(key, str(title), tuple(_term(row, ten) for row in rows))
        for key, title, rows in GROUPS
    )


def _term(row: tuple[str | Promise, ...], ten: str) -> Term:
    return Term(*(str(part).replace("{ten}", ten) for part in row))


@cache
def _titles() -> Mapping[str, str | Promise]:
    return {row[0]: row[1] for _key, _title, rows in GROUPS for row in rows}


def title(key: str) -> str:
    """Return what a word is called; KeyError for one that the page does not explain."""
    return str(_titles()[key])
