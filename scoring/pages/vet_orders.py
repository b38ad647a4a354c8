"""A vet's own band or rhythm for one horse."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from scoring.access import vet
from scoring.actions import vet_orders as actions
from scoring.pages import came, choices, done, order_now, order_words
from scoring.queries import vet_orders as queries
from scoring.rules import scale
from yards.access import doors
from yards.pages import forms, news
from yards.pages.controls import Control, last_day
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules import bidi, errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

_NUMBERS = ("score_days", "weight_days")


@require_http_methods(forms.METHODS)
@screen("vet order", "horse")
def vet_order(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Set a band, an interval, or both, until a day."""
    horse = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.OVERRIDE_BANDS)
    zone = yards.get_yard(viewer, horse.yard.ref).time_zone
    way = came.back(request, (reverse("scoring:horse", args=[id]), horse.name))
    form = forms.Form(
        title=gettext("Vet's order for {name}").format(name=bidi.isolated(horse.name)),
        controls=_controls(scale.usual_for(horse.species), zone),
        submit=gettext("Give this order"),
        back=way,
        zone=zone,
        template="scoring/order.html",
        more=order_now.shown(viewer, id, zone, request.GET.get(came.BACK, ""), now=now),
    )

    def act(raw: dict[str, Any]) -> str:
        given = actions.give_vet_order(viewer, id, _counted(raw), now=now)
        return news.told(way[0], done.ORDER, given.id)

    return forms.answered(request, viewer, form, act, now=now)


@require_http_methods(forms.METHODS)
@screen("end a vet order", "vet_order")
def end_order(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """End an order that is in force, with a reason."""
    vet.order_for_read(viewer, id)
    doors.require(viewer, Verb.OVERRIDE_BANDS)
    card = queries.get_vet_order(viewer, id)
    if not card.in_force(now) and request.method != "POST":
        raise errors.Conflict(FieldError("", "order_has_ended"))
    horse = horses.get_horse(viewer, card.horse)
    zone = yards.get_yard(viewer, horse.yard.ref).time_zone
    way = came.back(request, (reverse("scoring:horse", args=[card.horse]), horse.name))
    form = forms.Form(
        title=gettext("End an order early: {name}").format(name=bidi.isolated(horse.name)),
        lead=gettext(
            "{order}. From now on an older order that still runs holds again, else the house's own "
            "rules."
        ).format(order=order_words.sentence(card, zone)),
        controls=(Control("reason", gettext("Reason")),),
        submit=gettext("End this order"),
        back=way,
        zone=zone,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.end_vet_order(viewer, id, raw, now=now)
        return news.told(way[0], done.ORDER_ENDED, id)

    return forms.answered(request, viewer, form, act, now=now)


def _counted(raw: dict[str, Any]) -> dict[str, Any]:
    counted = {
        name: int(raw[name])
        for name in _NUMBERS
        if str(raw.get(name, "")).isdecimal() and str(raw[name]).isascii() and len(raw[name]) < 7
    }
    return {**raw, **counted}


def _controls(key: str, zone: str) -> tuple[Control, ...]:
    days = gettext("Empty: stays as it is now")
    none = gettext("Stays as it is now")
    return (
        Control("band.low", gettext("Band from"), "pick", choices=choices.ruler(key), empty=none),
        Control("band.high", gettext("Band to"), "pick", choices=choices.ruler(key), empty=none),
        Control("score_days", gettext("Score every so many days"), hint=days, mode="numeric"),
        Control("weight_days", gettext("Weigh every so many days"), hint=days, mode="numeric"),
        last_day("until", gettext("Last day"), zone),
        Control("reason", gettext("Reason")),
    )
