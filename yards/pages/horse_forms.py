"""What is done to a horse on pages: taken in, put right, moved, told of, identified."""

from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from yards.access import doors
from yards.actions import events as event_actions
from yards.actions import horses as actions
from yards.actions import merges
from yards.pages import animal_forms, clocks, controls, forms, horse_done, words
from yards.pages.controls import Control, moment
from yards.pages.screen import screen
from yards.queries import horses as queries
from yards.queries import roll, yards
from yards.rules import bidi, errors
from yards.rules.roles import Verb, Viewer, may


@require_http_methods(forms.METHODS)
@screen("horse", "horse")
def add_horse(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Take a horse in, known or not yet."""
    is_coordinator = may(viewer, Verb.CHANGE_HORSES)
    if not is_coordinator:
        doors.require(viewer, Verb.RECORD_EVENTS)
    places = yards.all_yards(viewer)
    form = forms.Form(
        title=gettext("Add a horse") if is_coordinator else gettext("Take in an unknown animal"),
        lead=gettext("A name, a species and a yard are enough; the rest can follow."),
        caution=gettext(
            "A thin or unknown horse is seen by the vet before its feed is changed: ring first."
        ),
        controls=(*_first_asked(places, is_coordinator), *animal_forms.facts()),
        submit=gettext("Add this horse") if is_coordinator else gettext("Add this animal"),
        back=(reverse("yards:horses"), gettext("Horses")),
        start={**_USUAL, "yard": request.GET.get("yard", "")},
        current="yards:horses",
        zone=clocks.zone_of(places),
    )

    def act(raw: dict[str, Any]) -> str:
        told = raw if is_coordinator else {**raw, "is_unknown": True}
        made = actions.register_horse(viewer, told, now=now)
        return horse_done.page(made.ref, horse_done.ADDED)

    return forms.answered(request, viewer, form, act, now=now)


_USUAL = {
    "species": "horse",
    "sex": "unknown",
    "use": "leisure",
    "born_basis": "unknown",
    "breeding": "not_bred",
    "laminitis": "unknown",
    "endocrine": "unknown",
}


def _first_asked(places: tuple[yards.YardCard, ...], is_coordinator: bool) -> tuple[Control, ...]:
    asked = (
        animal_forms.name(),
        animal_forms.species(),
        _yard_control(places, "yard", gettext("Yard")),
    )
    return (*asked, animal_forms.unknown()) if is_coordinator else asked


def _horse_page(ref: UUID) -> str:
    return reverse("scoring:horse", args=[ref])


def _yard_control(places: tuple[yards.YardCard, ...], name: str, label: str) -> Control:
    choices = [(str(each.ref), bidi.isolated(each.name)) for each in places]
    return Control(name, label, "pick", choices=choices, empty=gettext("Choose a yard"))


@require_http_methods(forms.METHODS)
@screen("horse", "horse")
def change_horse(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Put a horse's facts right; what was there before stays in the record."""
    card, zone = _card(viewer, id, Verb.CHANGE_HORSES)
    form = forms.Form(
        title=gettext("Facts of {name}").format(name=bidi.isolated(card.name)),
        lead=gettext("Each change is entered in the record with who and when."),
        controls=animal_forms.changes(card),
        submit=gettext("Save these facts"),
        back=(_horse_page(id), card.name),
        start=animal_forms.start(card),
        hidden=("version",),
        zone=zone,
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        # A field left empty is taken back to its default, not left as it was.
        blank: dict[str, Any] = {each.name: None for each in form.controls if each.name != "status"}
        if card.is_unknown:
            blank["is_unknown"] = False
        actions.change_horse(viewer, id, {**blank, **forms.counted(raw)}, now=now)
        return horse_done.page(id, horse_done.CHANGED)

    return forms.answered(request, viewer, form, act, now=now)


def _card(viewer: Viewer, ref: UUID, verb: Verb) -> tuple[queries.HorseCard, str]:
    card = queries.get_horse(viewer, ref)
    doors.require(viewer, verb)
    return card, yards.get_yard(viewer, card.yard.ref).time_zone


@require_http_methods(forms.METHODS)
@screen("horse", "horse")
def move_horse(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Move a horse to another yard."""
    card, zone = _card(viewer, id, Verb.MOVE_HORSES)
    places = tuple(each for each in yards.all_yards(viewer) if each.ref != card.yard.ref)
    form = forms.Form(
        title=gettext("Move {name}").format(name=bidi.isolated(card.name)),
        lead=gettext("It stands in {yard} now. Its alerts and dates go with it.").format(
            yard=bidi.isolated(card.yard.name)
        ),
        controls=(
            _yard_control(places, "yard", gettext("To which yard")),
            moment("at", gettext("When it moved"), zone),
        ),
        submit=gettext("Move"),
        back=(_horse_page(id), card.name),
        start={"at": controls.local(now.astimezone(ZoneInfo(zone)))},
        zone=zone,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.move_horse(viewer, id, raw, now=now)
        return horse_done.page(id, horse_done.MOVED)

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("horse", "horse")
def add_event(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Record what happened to a horse besides readings."""
    card, zone = _card(viewer, id, Verb.RECORD_EVENTS)
    form = forms.Form(
        title=gettext("What happened to {name}").format(name=bidi.isolated(card.name)),
        lead=gettext("“Died” and “Rehomed” end the horse's list of things due."),
        controls=(
            Control(
                "kind",
                gettext("What happened"),
                "pick",
                choices=words.events(),
                empty=gettext("Choose what happened"),
            ),
            moment("at", gettext("When"), zone),
            Control("note", gettext("Note"), "area"),
        ),
        submit=gettext("Record"),
        back=(_horse_page(id), card.name),
        start={"at": controls.local(now.astimezone(ZoneInfo(zone)))},
        zone=zone,
    )

    def act(raw: dict[str, Any]) -> str:
        event_actions.record_event(viewer, id, raw, now=now)
        return _horse_page(id)

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("horse", "horse")
def merge_horse(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Say which known horse an unknown animal turned out to be."""
    card, zone = _card(viewer, id, Verb.CHANGE_HORSES)
    if not card.is_unknown:
        raise errors.Conflict(errors.FieldError("", "only_unknown_animals_merge"))
    known = [each for each in roll.list_known(viewer, card.species) if each.ref != id]
    form = forms.Form(
        title=gettext("Who is {name}?").format(name=bidi.isolated(card.name)),
        lead=gettext(
            "Its readings and events are then read with the known horse's. This cannot be undone."
        ),
        caution=gettext("Read the transponder before you are sure: two bays are easily one."),
        controls=(
            Control(
                "into",
                gettext("It turned out to be"),
                "pick",
                choices=[
                    (str(each.ref), f"{_stands(each)} {each.transponder}".strip()) for each in known
                ],
                empty=gettext("Choose the known horse"),
                hint=gettext("Not in the list? Then name this one and say in its facts who it is."),
            ),
            Control("reason", gettext("How it was told")),
        ),
        submit=gettext("They are one"),
        back=(_horse_page(id), card.name),
        zone=zone,
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        merges.merge_horse(viewer, id, raw, now=now)
        return _horse_page(UUID(str(raw["into"])))

    return forms.answered(request, viewer, form, act, now=now)


def _stands(card: queries.HorseCard) -> str:
    return f"{bidi.isolated(card.name)}, {bidi.isolated(card.yard.name)}"
