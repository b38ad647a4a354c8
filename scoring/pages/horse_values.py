"""Every value that a horse's drawing shows, as a table, and all readings as files to take along."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import reverse
from django.utils.http import content_disposition_header
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from scoring.pages import chart_bands, chart_values, chart_words, csv_file, horse_chart
from scoring.queries import chart as queries
from scoring.rules import chart_file, chart_window
from yards.pages import frame
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules.roles import Viewer

# More than that on one page is for nobody to read; the files hold them all.
MOST = 600


@require_safe
@screen("values", "horse")
def values(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """List every reading of a window, newest first, with what the line says at its time."""
    card = horses.get_horse(viewer, id)
    zone = yards.get_yard(viewer, card.yard.ref).time_zone
    asked = horse_chart.asked(request)
    found = queries.get_chart(viewer, id, asked, now=now, zone=zone)
    rows = chart_values.rows(found, zone)
    kept = request.GET.urlencode()
    note = gettext("The newest {many} are listed. The file holds them all.").format(many=MOST)
    context: dict[str, Any] = {
        "title": chart_words.title(found, card.name, zone),
        "lead": gettext(
            "Newest first. Times in {zone}. A correction stands beside what it put right, which is "
            "struck."
        ).format(zone=zone),
        "back": (reverse("scoring:horse", args=[id]) + (f"?{kept}" if kept else ""), card.name),
        "table": chart_values.table(rows[:MOST]),
        "note": note if len(rows) > MOST else "",
        "bands": chart_bands.table(found, zone),
    }
    return frame.page(request, viewer, "scoring/values.html", context, now=now, zone=zone)


def _all(viewer: Viewer, id: UUID, now: datetime) -> tuple[str, list[dict[str, Any]]]:
    """Return a horse's name and every reading of it as rows of a file."""
    card = horses.get_horse(viewer, id)
    zone = yards.get_yard(viewer, card.yard.ref).time_zone
    every = chart_window.Asked(chart_window.ALL)
    found = queries.get_chart(viewer, id, every, now=now, zone=zone)
    return card.name, list(chart_values.plain(found, zone))


@require_safe
@screen("readings as CSV", "horse")
def readings_csv(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Answer every reading as comma-separated values, each text made harmless to a spreadsheet."""
    name, rows = _all(viewer, id, now)
    told = ([row.get(key, "") for key in chart_file.COLUMNS] for row in rows)
    return csv_file.response(name, chart_file.COLUMNS, told)


@require_safe
@screen("readings as JSON", "horse")
def readings_json(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Answer every reading as JSON, texts as they are."""
    name, rows = _all(viewer, id, now)
    response = JsonResponse({"horse": name, "readings": rows})
    response["Content-Disposition"] = content_disposition_header(True, f"{name}.json")
    return response
