"""Who can see what, and why, for a person and for a horse; and who looked."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from yards.access import doors
from yards.pages import clocks, frame, people_tables, sight_tables, words
from yards.pages.screen import screen
from yards.pages.tables import Link
from yards.queries import horses, names, sight, yards
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer, may


@require_safe
@screen("person", "person")
def person(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show what somebody may see and why, and at what they looked."""
    who = sight.person_here(viewer, id)
    zone = clocks.zone_of(yards.all_yards(viewer))
    looked = sight.list_looks(viewer, person=id, cursor=request.GET.get("cursor"))
    named = names.of(viewer, [each.target_ref for each in looked.items if each.target_ref])
    context: dict[str, Any] = {
        "title": gettext("What {name} can see").format(name=bidi.isolated(who.name)),
        "lead": gettext("Each grant, who gave it and why. The strongest role in force counts."),
        "back": (reverse("yards:people"), gettext("People")),
        "parts": (
            (gettext("Grants"), people_tables.of_person(sight.grants_of(viewer, id), now, zone)),
            (
                gettext("What they looked at"),
                sight_tables.looks(looked, named, zone, of_person=True),
            ),
        ),
        "note": clocks.named(zone),
    }
    return frame.page(
        request, viewer, "yards/sight.html", context, now=now, zone=zone, current="yards:people"
    )


@require_safe
@screen("horse_seen", "horse")
def horse_seen(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show who can see a horse and why, and who looked at it."""
    card = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.READ_PEOPLE)
    zone = yards.get_yard(viewer, card.yard.ref).time_zone
    closed = sight.restriction_of(viewer, id)
    looked = sight.list_looks(viewer, horse=id, cursor=request.GET.get("cursor"))
    context: dict[str, Any] = {
        "title": gettext("Who can see {name}").format(name=bidi.isolated(card.name)),
        "lead": gettext("Who is let in to it now, through what, and who looked."),
        "back": (reverse("scoring:horse", args=[id]), card.name),
        "links": _acts(viewer, id, closed),
        "caution": "" if closed is None else _closed(closed, zone),
        "parts": (
            (
                gettext("Who can see it now"),
                sight_tables.seers(sight.seers_of(viewer, id, now=now), zone),
            ),
            (gettext("Who looked"), sight_tables.looks(looked, {}, zone, of_person=False)),
        ),
        "note": clocks.named(zone),
    }
    return frame.page(
        request, viewer, "yards/sight.html", context, now=now, zone=zone, current="yards:horses"
    )


def _acts(viewer: Viewer, ref: UUID, closed: sight.Closed | None) -> tuple[Link, ...]:
    if not may(viewer, Verb.RESTRICT_HORSES):
        return ()
    words = gettext("Name others") if closed else gettext("Restrict to named people")
    name = Link(reverse("yards:restrict_horse", args=[ref]), words)
    opened = Link(reverse("yards:open_horse", args=[ref]), gettext("Lift the restriction"))
    return (name, opened) if closed else (name,)


def _closed(closed: sight.Closed, zone: str) -> str:
    return gettext(
        "Restricted since {at} by {name}: {reason}. Only {people} can see it; to everybody else, "
        "coordinators too, it is as if it were not here."
    ).format(
        at=words.at(closed.made_at, zone),
        name=bidi.isolated(closed.made_by),
        reason=bidi.isolated(closed.reason),
        people=", ".join(bidi.isolated(each.name) for each in closed.people),
    )
