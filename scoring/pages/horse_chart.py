"""How a horse went: the drawing of score and weight, its windows, its key, what it says."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext

from scoring.pages import (
    chart_changed,
    chart_key,
    chart_main,
    chart_marks,
    chart_panels,
    chart_parts,
    chart_units,
    chart_words,
)
from scoring.queries import chart as queries
from scoring.queries.chart import Chart
from scoring.queries.trend import SCORE, WEIGHT
from scoring.rules import chart_window
from yards.pages import tables, words
from yards.queries.horses import HorseCard
from yards.rules import daytime
from yards.rules.roles import Viewer

# What an address may say beside the window, and every link of the drawing keeps.
KEPT = ("one", "two")


def asked(request: HttpRequest) -> chart_window.Asked:
    """Return the window that an address asks for."""
    said = request.GET
    return chart_window.asked(said.get("window", ""), said.get("from", ""), said.get("to", ""))


def section(
    request: HttpRequest, viewer: Viewer, card: HorseCard, *, now: datetime, zone: str
) -> dict[str, Any]:
    """Return the part of a horse's page that is drawn."""
    found = queries.get_chart(viewer, card.ref, asked(request), now=now, zone=zone)
    score = chart_parts.told(found.trends[SCORE], found.window.until, now)
    weight = chart_parts.told(
        found.trends[WEIGHT], found.window.until, now, chart_units.times(WEIGHT)
    )
    changed = chart_changed.changed(found, score, weight, zone)
    return {
        "title": chart_words.title(found, card.name, zone),
        "said": " ".join(chart_words.said(found, score, weight, zone)),
        "since": chart_changed.since(found, zone),
        "changed": changed,
        "apart": chart_changed.apart(changed),
        "drawings": chart_main.drawings(found, zone),
        "hands": chart_key.of_scores(found),
        "ways": chart_key.of_weights(found),
        "has_ahead": bool(score.ahead),
        "marks": chart_marks.listed(found.marks, zone),
        "regions": chart_panels.regions(found, zone),
        "others": list(chart_panels.others(found, zone)),
        "season": chart_panels.season(found, score, zone),
        "empty": not found.scores and not found.weights,
        "zone": zone,
        **_ways(found, card.ref, _kept(request), now, zone),
    }


def _kept(request: HttpRequest) -> dict[str, str]:
    return {name: request.GET[name] for name in KEPT if request.GET.get(name)}


def _ways(
    found: Chart, horse: UUID, kept: Mapping[str, str], now: datetime, zone: str
) -> dict[str, Any]:
    """Return the links of the drawing: other windows, earlier, later, the table, the files."""
    window = found.window
    own = _own(found, zone)
    until = "" if window.is_now else own["to"]
    later = chart_window.later(window, now, zone)
    size = {"window": window.key} if window.key in chart_window.LENGTHS else {}
    shown = {**size, "to": until} if size else {"window": "all"}
    if window.key == chart_window.OWN:
        shown = {"from": own["from"], "to": until}
    return {
        "windows": [
            tables.Filter(_to(kept, window=key, to=until), label, key == window.key)
            for key, label in labels()
        ],
        "earlier": _to(kept, **size, to=_written(chart_window.earlier(window, zone)))
        if size
        else "",
        "later": _to(kept, **size, to=_written(later)) if size and not window.is_now else "",
        "own": own,
        "shown": _shown(own),
        "latest": _written(daytime.local_date(now, zone)),
        "kept": list(kept.items()),
        "values": reverse("scoring:values", args=[horse]) + tables.query(**shown),
        "csv": reverse("scoring:readings_csv", args=[horse]),
        "json": reverse("scoring:readings_json", args=[horse]),
    }


def _own(found: Chart, zone: str) -> dict[str, str]:
    """Return the window's own days, as a form's fields have them."""
    last = found.window.until - chart_window.A_MOMENT
    first, until = (daytime.local_date(each, zone) for each in (found.window.first, last))
    return {"from": first.isoformat(), "to": until.isoformat()}


def _shown(own: Mapping[str, str]) -> str:
    """Return the window's days in words, since a browser writes a date its own way."""
    first, last = (words.day(date.fromisoformat(own[name])) for name in ("from", "to"))
    return gettext("Shown now: {first} to {last}. Or choose other days:").format(
        first=first, last=last
    )


def _written(on: date | None) -> str:
    return on.isoformat() if on is not None else ""


def _to(kept: Mapping[str, str], **told: str) -> str:
    return tables.query(**told, **kept) + "#chart"


def labels() -> list[tuple[str, str]]:
    """Return what each window is called."""
    return [
        (chart_window.QUARTER, gettext("3 months")),
        (chart_window.YEAR, gettext("1 year")),
        (chart_window.TWO_YEARS, gettext("2 years")),
        (chart_window.ALL, gettext("All")),
    ]
