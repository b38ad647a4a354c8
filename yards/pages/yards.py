"""Yards: whom to ring, which clock, which spring, when it is quiet; a new one, and a change."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from yards.access import doors
from yards.actions import yards as actions
from yards.pages import beginning, clocks, forms, frame, tables, yard_forms
from yards.pages.screen import screen
from yards.queries import yards as queries
from yards.rules import bidi, seasons
from yards.rules.roles import Verb, Viewer, may

# Which yard was just given another spring or clock: the list says what that set off.
LOOKED = "looked"


@dataclass(frozen=True, slots=True)
class Place:
    """One yard as its panel shows it; ``href`` empty where the reader may not change it."""

    name: str
    anchor: str
    vet: queries.VetContact
    facts: tuple[tuple[str, str], ...]
    href: str


@require_safe
@screen("yards")
def yards(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List the yards in scope, each with its vet's numbers to dial."""
    found = queries.all_yards(viewer)
    changes = may(viewer, Verb.CHANGE_YARDS)
    looked = [each.name for each in found if str(each.ref) == request.GET.get(LOOKED)]
    context = {
        "links": _links(viewer),
        "places": [_place(each, changes) for each in found],
        "looked": looked[0] if looked else "",
        "nothing": beginning.of(viewer, found),
    }
    zone = clocks.zone_of(found)
    return frame.page(
        request, viewer, "yards/yards.html", context, now=now, zone=zone, current="yards:yards"
    )


def _links(viewer: Viewer) -> list[tables.Link]:
    asked = (
        (Verb.CHANGE_YARDS, tables.Link(reverse("yards:add_yard"), gettext("Add a yard"), go=True)),
        (
            Verb.CHANGE_ORGANISATION,
            tables.Link(reverse("yards:organisation"), gettext("Settings of the organisation")),
        ),
        (Verb.CHANGE_RULES, tables.Link(reverse("scoring:rules"), gettext("Risk rules"))),
        (Verb.READ_DESK, tables.Link(reverse("scoring:desk"), gettext("As known on any day"))),
        (
            Verb.CHANGE_RULES,
            tables.Link(reverse("scoring:policies"), gettext("Who is told, and when")),
        ),
    )
    return [link for verb, link in asked if may(viewer, verb)]


def _place(card: queries.YardCard, changes: bool) -> Place:
    quiet = card.quiet_hours
    facts = (
        (gettext("Spring"), _spring(card)),
        (
            gettext("Quiet hours"),
            gettext("{start} to {end}: only urgent messages go").format(
                start=f"{quiet.start:%H:%M}", end=f"{quiet.end:%H:%M}"
            )
            if quiet
            else gettext("none: messages go at any hour"),
        ),
        (gettext("Time zone"), card.time_zone),
    )
    href = reverse("yards:change_yard", args=[card.ref]) if changes else ""
    return Place(card.name, f"yard-{card.ref}", card.vet, facts, href)


def _spring(card: queries.YardCard) -> str:
    if card.spring is not None:
        own = gettext("{first} to {last}, the yard's own")
        return own.format(first=_day(card.spring.first), last=_day(card.spring.last))
    found = seasons.METEOROLOGICAL.get(card.hemisphere)
    if found is None:
        return gettext("none, near the equator")
    usual = gettext("{first} to {last}, as the calendar has it")
    return usual.format(first=_day(found.first), last=_day(found.last))


def _day(month_day: str) -> str:
    # A leap year, so that 29 February is a day.
    return date_format(date(2024, int(month_day[:2]), int(month_day[3:])), "j F")


@require_http_methods(forms.METHODS)
@screen("yard", "yard")
def add_yard(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Add a yard."""
    doors.require(viewer, Verb.CHANGE_YARDS)
    known = queries.all_yards(viewer)
    zone = clocks.zone_of(known)
    form = forms.Form(
        title=gettext("Add a yard"),
        lead=gettext("A name, a time zone and a hemisphere are enough; the rest can follow."),
        controls=yard_forms.controls([each.time_zone for each in known]),
        submit=gettext("Add"),
        back=(reverse("yards:yards"), gettext("Yards")),
        start={"hemisphere": seasons.NORTH, "time_zone": zone if known else ""},
        zone=zone,
        current="yards:yards",
    )

    def act(raw: dict[str, Any]) -> str:
        made = actions.make_yard(viewer, raw, now=now)
        return f"{reverse('yards:yards')}#yard-{made.ref}"

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("yard", "yard")
def change_yard(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Change a yard's settings; what was there before stays in the record."""
    card = queries.get_yard(viewer, id)
    doors.require(viewer, Verb.CHANGE_YARDS)
    form = forms.Form(
        title=gettext("Settings of {name}").format(name=bidi.isolated(card.name)),
        lead=gettext(
            "Each change is entered in the record with who and when. When you change spring, "
            "hemisphere or time zone, every horse here is judged anew at once, and not only at "
            "six in the morning: alerts may open."
        ),
        controls=yard_forms.controls([card.time_zone]),
        submit=gettext("Save these settings"),
        back=(reverse("yards:yards"), gettext("Yards")),
        start=yard_forms.start(card),
        hidden=("version",),
        zone=card.time_zone,
        current="yards:yards",
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        # A part left empty is taken back to its default, not left as it was.
        actions.change_yard(viewer, id, {**yard_forms.BLANK, **raw}, now=now)
        anew = str(id) if _judged_anew(card, queries.get_yard(viewer, id)) else None
        asked = tables.query(looked=anew) if anew else ""
        return f"{reverse('yards:yards')}{asked}#yard-{id}"

    return forms.answered(request, viewer, form, act, now=now)


def _judged_anew(before: queries.YardCard, after: queries.YardCard) -> bool:
    parts = ("spring", "hemisphere", "time_zone")
    return any(getattr(before, each) != getattr(after, each) for each in parts)
