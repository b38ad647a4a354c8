"""What is said of a round as it is walked, on its page and after each horse."""

from collections.abc import Mapping

from django.utils.translation import gettext, ngettext

from scoring.queries.rounds import RoundHorse
from scoring.rules import due
from yards.rules import bidi

# What a page's address says where a walk was opened by what is due.
DUE_FIRST = "?first=due"


def done(count: int, horses: int) -> str:
    """Return how many of a round's horses were answered today; marks.html has it for a phone."""
    return gettext("{n} of {all} done today").format(n=count, all=horses)


def following(horse: RoundHorse) -> str:
    """Return who is next, and why now where something is due; a phone says the same."""
    name, days = bidi.isolated(horse.name), horse.due.days
    if horse.due.state == due.OVERDUE:
        return late(days).format(name=name, n=days)
    if horse.due.state == due.DUE:
        return gettext("Next: {name}, due today").format(name=name)
    return gettext("Next: {name}").format(name=name)


def late(days: int) -> str:
    """Return the sentence of whoever is next and so many days late, with {name} and {n} in it."""
    return ngettext("Next: {name}, overdue {n} day", "Next: {name}, overdue {n} days", days)


def query(asked: Mapping[str, str]) -> str:
    """Return what a link adds to stay in the order that the round was opened in."""
    return DUE_FIRST if asked.get("first") == "due" else ""
