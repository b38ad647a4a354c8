"""What is due: the list to take round."""

from datetime import datetime

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext, ngettext
from django.views.decorators.http import require_safe

from scoring.queries import due as queries
from yards.pages import asked as asked_for
from yards.pages import beginning, clocks, frame, tables, words
from yards.pages.screen import screen
from yards.queries import roll, yards
from yards.rules import address, horse
from yards.rules.roles import Verb, Viewer, may


@require_safe
@screen("due")
def due(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List what is due and overdue, longest overdue first."""
    asked = request.GET.get("yard", "")
    places = yards.all_yards(viewer)
    zones = {each.ref: each.time_zone for each in places}
    rows = queries.list_due(viewer, now=now, yard=address.ref(asked))
    none = _none(viewer, places, rows)
    context = {
        "title": gettext("Due and overdue"),
        "lead": _lead(rows),
        "filters": [asked_for.by_yard(places, asked)],
        "table": tables.Table(
            caption=gettext("Due and overdue"),
            columns=(gettext("Horse"), gettext("What"), gettext("Was due"), gettext("How late")),
            rows=[_row(viewer, row, zones.get(row.yard, "UTC")) for row in rows],
            empty=none.title,
            empty_hint=none.why,
            onward=none.onward,
        ),
    }
    zone = clocks.zone_of(places)
    return frame.page(
        request, viewer, "scoring/due.html", context, now=now, zone=zone, current="scoring:due"
    )


def _none(
    viewer: Viewer, places: tuple[yards.YardCard, ...], rows: tuple[queries.DueRow, ...]
) -> beginning.Nothing:
    """Return what is said where nothing is due, since all is done or since there is no horse."""
    if not rows and not roll.list_by_name(viewer, statuses=horse.HERE, size=1).horses:
        return beginning.of(viewer, places)
    return beginning.Nothing(
        gettext("Nothing is due"),
        gettext("Every horse here has been scored and weighed in time."),
        tables.Link(reverse("scoring:board"), gettext("To the yard board")),
    )


def _lead(rows: tuple[queries.DueRow, ...]) -> str:
    late = sum(row.state == "overdue" for row in rows)
    if not rows:
        return ""
    told = ngettext("{n} thing due.", "{n} things due.", len(rows)).format(n=len(rows))
    if late:
        told += " " + ngettext(
            "{n} of them is overdue.", "{n} of them are overdue, longest first.", late
        ).format(n=late)
    return told


def _row(viewer: Viewer, row: queries.DueRow, zone: str) -> tables.Row:
    weigh = row.what == "weight"
    links = []
    if may(viewer, Verb.RECORD_READINGS):
        page = "scoring:weigh" if weigh else "scoring:score"
        told = gettext("Weigh") if weigh else gettext("Assess")
        links.append(tables.Link(reverse(page, args=[row.horse]), told, row.horse_name))
    late = ngettext("{days} day", "{days} days", row.days).format(days=row.days)
    return tables.Row(
        (
            tables.Cell(row.horse_name, row.yard_name, reverse("scoring:horse", args=[row.horse])),
            tables.Cell(gettext("Weight") if weigh else gettext("Condition score")),
            tables.Cell(words.day(row.due_at, zone)),
            tables.Cell(late if row.days else gettext("today"), tag="due" if row.days else "note"),
        ),
        links,
    )
