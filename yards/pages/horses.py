"""The roll of horses."""

from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from yards.pages import asked as asked_for
from yards.pages import beginning, clocks, frame, tables, words
from yards.pages.screen import screen
from yards.queries import horses as queries
from yards.queries import roll, yards
from yards.rules import address
from yards.rules.roles import Verb, Viewer, may

HERE, GONE = "here", "gone"


@require_safe
@screen("horses")
def horses(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List the horses in scope, by yard, by whether they are here, by name or number."""
    asked = {name: request.GET.get(name, "") for name in ("yard", "state", "search")}
    state = asked["state"] if asked["state"] in {HERE, GONE} else HERE
    page = roll.list_by_name(
        viewer,
        statuses=_STATES[state],
        yard=address.ref(asked["yard"]),
        search=asked["search"].strip(),
        after=address.ref(request.GET.get("after", "")),
    )
    places = yards.all_yards(viewer)
    kept = {"yard": asked["yard"], "state": state, "search": asked["search"]}
    none = _none(viewer, places, kept)
    context = {
        "title": gettext("Horses"),
        "links": _add(viewer),
        "filters": _filters(places, kept),
        "search": {
            "label": gettext("Name, transponder or UELN"),
            "value": asked["search"],
            "hidden": [(name, kept[name]) for name in ("yard", "state") if kept[name]],
        },
        "table": tables.Table(
            caption=gettext("Horses"),
            columns=_columns(),
            rows=[_row(each) for each in page.horses],
            empty=none.title,
            empty_hint=none.why,
            onward=none.onward,
            older=tables.query(**kept, after=str(page.after)) if page.after else "",
        ),
    }
    zone = clocks.zone_of(places)
    return frame.page(
        request, viewer, "yards/list.html", context, now=now, zone=zone, current="yards:horses"
    )


def _columns() -> tuple[str, ...]:
    return (
        gettext("Name"),
        gettext("Yard"),
        gettext("Kept for"),
        gettext("Born"),
        gettext("Transponder"),
    )


_STATES = {HERE: ("present", "away"), GONE: ("rehomed", "dead", "merged")}


def _add(viewer: Viewer) -> list[tables.Link]:
    links = []
    page = reverse("yards:add_horse")
    if may(viewer, Verb.CHANGE_HORSES):
        links.append(tables.Link(page, gettext("Add a horse"), go=True))
    elif may(viewer, Verb.RECORD_EVENTS):
        links.append(tables.Link(page, gettext("Take in an unknown animal")))
    return links


def _none(
    viewer: Viewer, places: tuple[yards.YardCard, ...], kept: dict[str, str]
) -> beginning.Nothing:
    if not places or not (kept["yard"] or kept["search"] or kept["state"] == GONE):
        return beginning.of(viewer, places)
    if kept["state"] == GONE and not (kept["yard"] or kept["search"]):
        title, why = gettext("No horse has left"), gettext("Rehomed and dead horses stand here.")
    else:
        title = gettext("No horse is like this")
        why = gettext("None fits the search and the choices above.")
    every = tables.Link(reverse("yards:horses"), gettext("Show all horses"))
    return beginning.Nothing(title, why, every)


def _filters(places: tuple[yards.YardCard, ...], kept: dict[str, str]) -> list[dict[str, Any]]:
    rest = {name: value for name, value in kept.items() if name != "state"}
    by_state = [
        tables.Filter(tables.query(**rest, state=key), label, kept["state"] == key)
        for key, label in ((HERE, gettext("Here or away")), (GONE, gettext("Gone")))
    ]
    return [
        asked_for.by_yard(places, kept["yard"], state=kept["state"], search=kept["search"]),
        {"label": gettext("Here or gone"), "choices": by_state},
    ]


def _row(card: queries.HorseCard) -> tables.Row:
    what = words.kind(card.kind) or words.species(card.species)
    about = ", ".join(each for each in (what, words.sex(card.sex)) if each)
    if card.is_unknown:
        about = gettext("Unknown animal. {about}").format(about=about)
    away = "" if card.status == "present" else words.status(card.status)
    return tables.Row(
        (
            tables.Cell(card.name, about, reverse("scoring:horse", args=[card.ref])),
            tables.Cell(card.yard.name, away),
            tables.Cell(words.use_of(card)),
            tables.Cell(card.born or ""),
            tables.Cell(card.transponder),
        )
    )
