"""The yard board."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext, ngettext
from django.views.decorators.http import require_safe

from scoring.pages import labels
from scoring.queries import board as queries
from scoring.queries import wording
from yards.pages import frame, words
from yards.pages.screen import screen
from yards.rules import errors
from yards.rules.roles import Viewer


@require_safe
@screen("board")
def board(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show every horse in scope by what needs doing today."""
    found = queries.yard_board(viewer, now=now, yard=_yard(request))
    shown = {
        "today": found.today,
        "zone": found.zone,
        "yards": [
            {
                "id": each.id or "",
                "name": each.name or gettext("All yards"),
                "count": each.count,
                "current": each.current,
            }
            for each in found.yards
        ],
        "groups": _groups(found.rows),
    }
    return frame.page(
        request,
        viewer,
        "scoring/board.html",
        {"board": shown},
        now=now,
        zone=found.zone,
        current="scoring:board",
    )


def _yard(request: HttpRequest) -> UUID | None:
    sent = request.GET.get("yard", "")
    try:
        return UUID(sent) if sent else None
    except ValueError as error:
        raise errors.NotFound from error


def _groups(rows: tuple[queries.Row, ...]) -> list[dict[str, Any]]:
    said = {
        "call_the_vet": (
            gettext("Call the vet"),
            ngettext(
                "{n} horse. Vet first, today. Change no feed before the vet has spoken.",
                "{n} horses. Vet first, today. Change no feed before the vet has spoken.",
                _count(rows, "call_the_vet"),
            ),
        ),
        "decide": (
            gettext("Decide"),
            ngettext(
                "{n} alert nobody has acknowledged. Read first.",
                "{n} alerts nobody has acknowledged. Read first.",
                _count(rows, "decide"),
            ),
        ),
        "assess_today": (
            gettext("Assess today"),
            ngettext(
                "{n} horse due or overdue.",
                "{n} horses due or overdue.",
                _count(rows, "assess_today"),
            ),
        ),
        "watched": (
            gettext("Being watched"),
            ngettext(
                "{n} horse with an alert that is answered or can wait.",
                "{n} horses with an alert that is answered or can wait.",
                _count(rows, "watched"),
            ),
        ),
        "nothing_to_do": (
            gettext("Nothing to do today"),
            ngettext("{n} horse not due.", "{n} horses not due.", _count(rows, "nothing_to_do")),
        ),
    }
    found = []
    for key in queries.GROUPS:
        held = [row for row in rows if row.group == key]
        if held:
            hint = said[key][1].format(n=len(held))
            group = {"key": key, "title": said[key][0], "hint": hint}
            found.append({**group, **_with_vet(held)})
    return found


def _with_vet(held: Sequence[queries.Row]) -> dict[str, Any]:
    """Return a group's rows; numbers that all of them share are shown once, at its head."""
    vets = {row.vet for row in held}
    shared = held[0].vet if len(vets) == 1 else None
    rows = [_row(row) | ({"vet": None} if shared else {}) for row in held]
    return {"vet": shared, "rows": rows}


def _count(rows: tuple[queries.Row, ...], group: str) -> int:
    return sum(row.group == group for row in rows)


def _row(row: queries.Row) -> dict[str, Any]:
    alert = row.alert
    return {
        "horse_id": row.horse_id,
        "name": row.name,
        "yard_name": row.yard_name,
        "use_label": words.use(row.use),
        "species": row.species,
        "scale": row.scale,
        "regions": row.regions or {},
        "fattest": list(row.fattest),
        "overall": row.overall,
        "low": labels.decimal(row.low),
        "high": labels.decimal(row.high),
        "place": row.place,
        "place_label": _place(row),
        "rate_per_month": labels.decimal(row.rate_per_month),
        "rate_is_level": row.rate_is_level,
        "rate_label": wording.say(row.rate_lacks)
        if row.rate_lacks
        else labels.rate(row.rate_per_month, row.rate_is_level),
        "due": {
            "state": row.due.state,
            "label": labels.due(row.due.state, row.due.on, row.due.days, row.due.what),
            "fraction": row.due.fraction,
            "at": row.due.on,
        },
        "alert": None
        if alert is None
        else {
            "id": alert.id,
            "severity": alert.severity,
            "state": alert.state,
            "escalated": alert.escalated,
            "label": _alert_label(alert.rule, row.more_alerts),
        },
        "vet": row.vet,
        "band": row.band,
        "may_assess": row.may_assess,
    }


def _place(row: queries.Row) -> str:
    if row.place:
        return labels.distance(row.place, row.overall, row.band)
    missing = row.regions is not None and None in row.regions.values()
    return gettext("Not safe to palpate, no overall") if missing else labels.place("")


def _alert_label(rule: str, more: int) -> str:
    title = wording.title(rule).capitalize()
    if not more:
        return title
    return ngettext("{title}, and {n} more", "{title}, and {n} more", more).format(
        title=title, n=more
    )
