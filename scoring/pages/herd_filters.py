"""What stands above every page of the herd: its views and what narrows them, by the address."""

from typing import Any

from django.urls import reverse
from django.utils import text
from django.utils.http import urlencode
from django.utils.translation import gettext

from scoring.pages import herd_words
from scoring.queries.herd_scope import Scope
from scoring.rules import herd_months
from scoring.rules.herd_wanted import Wanted
from yards.pages import words
from yards.rules import horse

VIEWS = ("herd", "herd_seasons", "herd_shares", "herd_due")


def query(wanted: Wanted, **other: str) -> str:
    """Return the query of an address, from the top of its list; empty for what is usual."""
    pairs = wanted.pairs(**other)
    return "?" + urlencode(pairs) if pairs else ""


def title(view: str) -> str:
    """Return what a view is called."""
    return {
        "herd": gettext("Herd by month"),
        "herd_seasons": gettext("Ends of winter and autumn"),
        "herd_shares": gettext("Shares by month"),
        "herd_due": gettext("Punctuality"),
    }[view]


def around(found: Scope, view: str) -> dict[str, Any]:
    """Return the views with their addresses, the form that narrows them, and the file."""
    wanted = found.wanted
    chosen = found.chosen
    return {
        "title": title(view),
        "place": chosen.name if chosen is not None else gettext("All yards"),
        "views": [
            {
                "title": title(each),
                "href": reverse(f"scoring:{each}") + query(wanted),
                "current": each == view,
            }
            for each in VIEWS
        ],
        "selects": _selects(found, view),
        "csv": reverse(f"scoring:{view}_csv") + query(wanted),
        "narrowed": bool(wanted.yard or wanted.use),
        "all": reverse(f"scoring:{view}") + query(wanted, yard="", use=""),
    }


def _selects(found: Scope, view: str) -> list[dict[str, Any]]:
    wanted = found.wanted
    selects = []
    if len(found.yards) > 1:
        yards = [("", gettext("All yards"))]
        yards += [(str(each.ref), each.name) for each in found.yards]
        selects.append(_select("yard", gettext("Yard"), str(wanted.yard or ""), yards))
    uses = [("", gettext("All uses"))]
    uses += [(each, text.capfirst(words.use(each))) for each in horse.USES]
    selects.append(_select("use", gettext("Use"), wanted.use, uses))
    if view != "herd_seasons":
        spans = [(str(each), gettext("{n} months").format(n=each)) for each in herd_months.SPANS]
        selects.append(_select("months", gettext("Time"), str(wanted.months), spans))
    if view == "herd":
        selects.append(_select("sort", gettext("Order"), wanted.sort, herd_words.sorts()))
    return selects


def _select(name: str, label: str, value: str, options: list[tuple[str, str]]) -> dict[str, Any]:
    return {"name": name, "label": label, "value": value, "options": options}
