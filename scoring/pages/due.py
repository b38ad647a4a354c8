"""What is due: the list to take round."""

from datetime import datetime
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext, ngettext
from django.views.decorators.http import require_safe

from scoring.queries import due as queries
from yards.pages import frame, tables, words
from yards.pages.screen import screen
from yards.queries import yards
from yards.rules import errors
from yards.rules.roles import Verb, Viewer, may


@require_safe
@screen("due")
def due(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List what is due and overdue, longest overdue first."""
    asked = request.GET.get("yard", "")
    places = yards.all_yards(viewer)
    zones = {each.ref: each.time_zone for each in places}
    rows = queries.list_due(viewer, now=now, yard=_ref(asked))
    late = sum(row.state == "overdue" for row in rows)
    said = ngettext("{n} overdue", "{n} overdue", late).format(n=late)
    context = {
        "title": gettext("Due and overdue"),
        "lead": gettext("{n} things due, {late}. Longest overdue first.").format(
            n=len(rows), late=said
        ),
        "filters": [
            {
                "label": gettext("Yards"),
                "choices": [
                    tables.Filter(tables.query(), gettext("All yards"), not asked),
                    *(
                        tables.Filter(
                            tables.query(yard=str(each.ref)), each.name, asked == str(each.ref)
                        )
                        for each in places
                    ),
                ],
            }
        ],
        "table": tables.Table(
            caption=gettext("Due and overdue"),
            columns=(gettext("Horse"), gettext("What"), gettext("Was due"), gettext("How late")),
            rows=[_row(viewer, row, zones.get(row.yard, "UTC")) for row in rows],
            empty=gettext("Nothing is due"),
            empty_hint=gettext("Every horse here has been scored and weighed in time."),
        ),
    }
    zone = places[0].time_zone if places else "UTC"
    return frame.page(
        request, viewer, "yards/list.html", context, now=now, zone=zone, current="scoring:due"
    )


def _ref(text: str) -> UUID | None:
    try:
        return UUID(text) if text else None
    except ValueError as error:
        raise errors.NotFound from error


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
