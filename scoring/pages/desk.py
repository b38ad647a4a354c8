"""The officer's desk: the yards, and one horse, as the record had them at the end of any day."""

from dataclasses import replace
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext
from django.views.decorators.http import require_safe

from scoring.pages import desk_tables, horse_tables, labels, pictures
from scoring.queries import assessments, concerns, desk, known_band, photos, wanting, weighings
from scoring.rules import gaps
from yards import isolation
from yards.access import doors
from yards.pages import clocks, frame, tables
from yards.pages.screen import screen
from yards.queries import events, horses, yards
from yards.rules import address, bidi, daytime
from yards.rules.roles import Verb, Viewer, may

_MOST = 500


def _day(request: HttpRequest, zone: str, now: datetime) -> tuple[date, datetime]:
    """Return the day asked for, never one to come, and the last instant of it that is past."""
    today = daytime.local_date(now, zone)
    try:
        on = min(date.fromisoformat(request.GET.get("on", "")), today)
    except ValueError:
        on = today
    return on, min(daytime.end_of(on, zone), now)


def _around(on: date, zone: str, now: datetime) -> dict[str, Any]:
    today = daytime.local_date(now, zone)
    return {
        "on": on.isoformat(),
        "today": today.isoformat(),
        "is_today": on == today,
        "day": date_format(on, "j F Y"),
        "zone": zone,
    }


@require_safe
@screen("desk", "list")
def officers_desk(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show one yard, or all, as known at the end of a day; before either is chosen, the choice."""
    doors.require(viewer, Verb.READ_DESK)
    places = yards.all_yards(viewer)
    asked = request.GET.get("yard", "")
    ref = address.ref(asked)
    zone = next((each.time_zone for each in places if each.ref == ref), clocks.zone_of(places))
    on, at = _day(request, zone, now)
    chosen = bool(request.GET.keys() & {"on", "yard"})
    found: tuple[desk.Stood, ...] = ()
    if chosen:
        with isolation.as_known(viewer, at):
            found = desk.known_horses(viewer, at=at, yard=ref)
    around = _around(on, zone, now)
    named = [bidi.isolated(each.name) for each in places if each.ref == ref]
    title = gettext("{yard} on {day}") if named else gettext("The yards on {day}")
    context = {
        **around,
        "title": title.format(yard="".join(named), day=around["day"]),
        "yard": asked if ref else "",
        "places": [(str(each.ref), bidi.isolated(each.name)) for each in places],
        "chosen": chosen,
        "count": desk_tables.total(len(found)),
        "tables": desk_tables.by_yard(
            viewer, found, zone, tables.query(on=on.isoformat(), yard=asked)
        ),
        "part": desk_tables.part(viewer, zone),
    }
    return frame.page(
        request, viewer, "scoring/desk.html", context, now=now, zone=zone, current="scoring:desk"
    )


@require_safe
@screen("desk_horse", "horse")
def desk_horse(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show one horse's record as it was known at the end of a day."""
    zone = yards.get_yard(viewer, horses.get_horse(viewer, id).yard.ref).time_zone
    on, at = _day(request, zone, now)
    # From which yard's desk somebody came, to go back there; an odd one is refused there.
    yard = request.GET.get("yard", "")
    with isolation.as_known(viewer, at):
        card, unknown, stood = desk.known_card(viewer, id, at=at)
        stays = horse_tables.stays(tuple(stood), zone)
        if "stays" in unknown:
            stays = replace(stays, empty=gettext("not known"))
        parts = _parts(viewer, id, zone, at)
        context = {
            **_around(on, zone, now),
            "chosen": True,
            "title": bidi.isolated(desk_tables.called(card, unknown)),
            "facts": [*desk_tables.facts(card, unknown), *_band(viewer, id, at)],
            "pictures": pictures.shown(photos.of_horse(viewer, id), card.name, zone),
            "parts": [
                *parts,
                (gettext("Where it had stood"), stays),
            ],
            "yard": yard,
            "back": reverse("scoring:desk") + tables.query(on=on.isoformat(), yard=yard),
            "part": desk_tables.part(viewer, zone),
        }
    return frame.page(
        request,
        viewer,
        "scoring/desk_horse.html",
        context,
        now=now,
        zone=zone,
        current="scoring:desk",
    )


def _band(viewer: Viewer, ref: UUID, at: datetime) -> list[tuple[str, str]]:
    found = known_band.of(viewer, ref, at=at)
    if found is None:
        return []
    return [(gettext("Target band that day"), labels.between(found.low, found.high))]


def _parts(viewer: Viewer, ref: UUID, zone: str, at: datetime) -> list[tuple[str, tables.Table]]:
    wanted = wanting.Wanted(horse=ref)
    scored = assessments.list_assessments(viewer, wanted, size=_MOST).items
    weighed = weighings.list_weighings(viewer, wanted, size=_MOST).items
    seen = concerns.list_concerns(viewer, ref)
    taken = [each.id for each in scored] + [each.id for each in seen]
    shots = pictures.by_reading(photos.of_readings(viewer, taken), "", zone)
    current = [each.corrected_taken_at for each in scored if each.superseded_by is None]
    parts = [
        (
            gettext("Condition scores"),
            horse_tables.readings(horse_tables.by_time(scored), may_correct=False, photos=shots),
        ),
        (gettext("Gaps"), desk_tables.gaps(gaps.gaps(current, desk.ends(viewer, at)), zone)),
        (gettext("Corrections, side by side"), desk_tables.corrections(scored, weighed, zone)),
        (gettext("Weights"), horse_tables.weights(weighed, may_correct=False)),
        (gettext("Concerns"), horse_tables.concerns(seen, shots)),
        (
            gettext("Events"),
            horse_tables.events(events.list_events(viewer, ref, size=_MOST).items, zone),
        ),
    ]
    if may(viewer, Verb.READ_ALERTS):
        parts.insert(
            1,
            (
                gettext("Alerts open that day"),
                desk_tables.alerts(desk.open_alerts(viewer, ref, at), zone),
            ),
        )
    return parts
