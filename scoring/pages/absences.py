"""Who is away: oneself, or, for a coordinator, anybody; said, listed, ended."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from scoring.actions import absences as actions
from scoring.queries import absences as queries
from scoring.queries import policies
from yards.access import doors
from yards.pages import clocks, controls, forms, frame, tables, words
from yards.pages.controls import Control
from yards.pages.screen import screen
from yards.queries import yards
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer, may


@require_safe
@screen("absences")
def absences(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List who is away, newest first."""
    doors.require(viewer, Verb.ANSWER_ALERTS)
    zone = clocks.zone_of(yards.all_yards(viewer))
    page = queries.list_absences(viewer, now=now, cursor=request.GET.get("cursor") or None)
    away = tables.Link(reverse("scoring:set_away"), gettext("Say who is away"), go=True)
    context = {
        "title": gettext("Who is away"),
        "lead": gettext("Whoever is away is not told of alerts while anybody else can be."),
        "back": (reverse("scoring:policies"), gettext("Who is told, and when")),
        "links": [away],
        "table": tables.Table(
            caption=gettext("Who is away"),
            columns=(gettext("Who"), gettext("From"), gettext("Until"), gettext("Why")),
            rows=[_row(card, zone, now) for card in page.items],
            empty=gettext("Nobody is away"),
            older=tables.query(cursor=page.next) if page.next else "",
        ),
    }
    return frame.page(
        request, viewer, "yards/list.html", context, now=now, zone=zone, current="scoring:alerts"
    )


def _row(card: queries.AbsenceCard, zone: str, now: datetime) -> tables.Row:
    over, said = card.is_over(now), ""
    if card.ended_at is not None:
        said = gettext("Ended {at}").format(at=words.at(card.ended_at, zone))
    page = reverse("scoring:end_away", args=[card.id])
    return tables.Row(
        (
            tables.Cell(card.person.name),
            tables.Cell(words.at(card.from_at, zone)),
            tables.Cell(words.at(card.until, zone), said),
            tables.Cell(card.reason),
        ),
        [] if over else [tables.Link(page, gettext("Back again"), card.person.name)],
        struck=over,
    )


@require_http_methods(forms.METHODS)
@screen("set_away")
def set_away(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Say who is away, from when until when."""
    doors.require(viewer, Verb.ANSWER_ALERTS)
    zone = clocks.zone_of(yards.all_yards(viewer))
    asked = [
        Control("from", gettext("From"), controls.MOMENT, gettext("Empty: from now on.")),
        controls.moment("until", gettext("Until"), zone),
        Control("reason", gettext("Why"), hint=gettext("If others should know")),
    ]
    if may(viewer, Verb.CHANGE_PEOPLE):
        found = policies.choices_of(viewer, now=now)
        people = [(str(each.id), bidi.isolated(each.name)) for each, _ in found]
        asked.insert(
            0, Control("person", gettext("Who"), "pick", choices=people, empty=gettext("Myself"))
        )
    form = forms.Form(
        title=gettext("Say who is away"),
        lead=gettext("Others are told instead. If nobody else can be told, whoever is away is."),
        controls=tuple(asked),
        submit=gettext("Save"),
        back=(reverse("scoring:absences"), gettext("Who is away")),
        zone=zone,
        current="scoring:alerts",
    )

    def act(raw: dict[str, Any]) -> str:
        actions.set_away(viewer, raw, now=now)
        return reverse("scoring:absences")

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("end_away", "absence")
def end_away(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Say that somebody is back before their time."""
    card = queries.get_absence(viewer, id)
    doors.require(viewer, Verb.ANSWER_ALERTS)
    who = bidi.isolated(card.person.name)
    form = forms.Form(
        title=gettext("{who} is back").format(who=who),
        lead=gettext("From now on {who} is told of alerts again.").format(who=who),
        controls=(),
        submit=gettext("Back again"),
        back=(reverse("scoring:absences"), gettext("Who is away")),
        current="scoring:alerts",
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.end(viewer, id, raw, now=now)
        return reverse("scoring:absences")

    return forms.answered(request, viewer, form, act, now=now)
