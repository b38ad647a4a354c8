"""What narrows the board, as its address has it: choices, a search, and what is in force now."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from django.utils.http import urlencode
from django.utils.translation import gettext

from scoring.pages import board_shown, labels
from scoring.queries import board as queries
from scoring.queries import board_choices
from scoring.rules import board as rule
from scoring.rules import board_wanted
from yards.pages import words
from yards.queries.people import PersonName
from yards.rules import bidi, horse

# So many yards stand side by side; more are a list to pick from.
SIDE_BY_SIDE = 7
Option = tuple[str, str]


def query(wanted: board_wanted.Wanted, **other: str) -> str:
    """Return the address of a board, from its top: a query that replaces the whole of another."""
    return "?" + urlencode(wanted.pairs(**other))


def form(
    wanted: board_wanted.Wanted, found: queries.Board, hands: Sequence[PersonName]
) -> dict[str, Any]:
    """Return the form that narrows the board: its search, its choices, and what it keeps."""
    selects = [
        _select(wanted, "use", gettext("Use"), words.all_of(horse.USES, words.use)),
        _select(wanted, "place", gettext("Place"), words.all_of(board_wanted.PLACES, _place)),
        _select(wanted, "trend", gettext("Trend"), words.all_of(rule.TRENDS, labels.way)),
        _select(wanted, "due", gettext("Due"), _said(_DUES)),
        _select(
            wanted,
            "assessor",
            gettext("Last scored by"),
            [(str(each.id), bidi.isolated(each.name)) for each in hands],
        ),
    ]
    many = len(found.yards) - 1 > SIDE_BY_SIDE
    if many:
        counted = [
            (str(each.id), f"{bidi.isolated(each.name)} ({each.count})") for each in found.yards[1:]
        ]
        selects.insert(0, _select(wanted, "yard", gettext("Yard"), counted))
    asked = {each["name"] for each in selects} | {"search"}
    return {
        "search": wanted.search,
        "selects": selects,
        "hidden": [(name, value) for name, value in wanted.pairs() if name not in asked],
        "in_force": _in_force(wanted, selects),
        "clear": query(board_wanted.Wanted(yard=wanted.yard, group=wanted.group)),
        "many_yards": many,
    }


def _select(
    wanted: board_wanted.Wanted, name: str, label: str, options: Sequence[Option]
) -> dict[str, Any]:
    held = dict(wanted.pairs()).get(name, "")
    return {"name": name, "label": label, "value": held, "options": options}


def _said(closed: Mapping[str, Callable[[], str]]) -> list[Option]:
    return [(key, word()) for key, word in closed.items()]


def _place(name: str) -> str:
    return labels.place("" if name == board_wanted.NOT_PLACED else name)


_DUES: Mapping[str, Callable[[], str]] = {
    board_wanted.DUE: lambda: gettext("Due or overdue"),
    board_wanted.OVERDUE: lambda: gettext("Overdue"),
}


def _in_force(
    wanted: board_wanted.Wanted, selects: Sequence[Mapping[str, Any]]
) -> list[dict[str, str]]:
    """Return each filter that is set, in words, with the address of the board without it."""
    found = []
    for each in selects:
        if each["value"]:
            said = dict(each["options"]).get(each["value"], gettext("unknown"))
            name = each["name"]
            told = gettext("{label}: {choice}").format(label=each["label"], choice=said)
            found.append({"told": told, "query": query(wanted, **{name: ""})})
    if wanted.search:
        told = gettext("Search: {text}").format(text=wanted.search)
        found.append({"told": told, "query": query(wanted, search="")})
    return found


def yards(wanted: board_wanted.Wanted, found: queries.Board) -> list[dict[str, Any]]:
    """Return the yards to choose, with their horses; the other filters stay."""
    return [
        {
            "name": each.name or gettext("All yards"),
            "count": each.count,
            "current": each.current,
            "query": query(wanted, yard=str(each.id or "")),
        }
        for each in found.yards
    ]


def work(wanted: board_wanted.Wanted, found: queries.Board) -> list[dict[str, Any]]:
    """Return the five groups with their horses: the day at a glance; each leads to itself."""
    return [
        {
            "key": key,
            "title": board_shown.title(key),
            "count": found.counts[key],
            "current": wanted.group == key,
            "query": query(wanted, group="" if wanted.group == key else key),
        }
        for key in queries.GROUPS
    ]


def kept(views: Sequence[board_choices.KeptView], wanted: board_wanted.Wanted) -> dict[str, Any]:
    """Return the views that the reader has kept, and what this one would be kept as."""
    return {
        "views": [
            {
                "id": each.id,
                "name": each.name,
                "query": "" if each.wanted is None else query(each.wanted),
                "current": each.wanted == wanted,
            }
            for each in views
        ],
        "asked": wanted.pairs(),
        "may_keep": bool(wanted.pairs()) and all(each.wanted != wanted for each in views),
    }
