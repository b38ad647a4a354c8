"""The walking order of a yard, by number or step by step, with no script at all."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from yards.access import doors
from yards.actions import walks as actions
from yards.pages import forms, frame
from yards.pages.screen import screen
from yards.queries import walks as queries
from yards.queries import wording
from yards.rules import errors, walk
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

_STEPS = {"up": -1, "down": 1}


@require_http_methods(forms.METHODS)
@screen("round order", "yard")
def order(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show the horses with their places, or set the order that was asked for."""
    found = queries.get_walk(viewer, id)
    doors.require(viewer, Verb.WALK_ROUNDS)
    if not found.may_order:
        raise errors.NotAllowed
    if request.method != "POST":
        return _page(request, viewer, found, {}, now=now)
    try:
        asked = {**_asked(found, request.POST), "version": request.POST.get("version", "")}
        actions.order_walk(viewer, id, forms.counted(asked), now=now)
    except errors.Invalid as refused:
        return _page(request, viewer, found, request.POST, now=now, refused=refused)
    except errors.Conflict as refused:  # the numbers that were typed are of an order that is gone
        return _page(request, viewer, found, {}, now=now, refused=refused)
    return HttpResponseRedirect(_next(id, request.POST), status=303)


def _next(yard: UUID, sent: Mapping[str, Any]) -> str:
    """Return where to go: on with the order after a step, to its button, else to the round."""
    for name in _STEPS:
        if sent.get(name):
            stepped = urlencode({name: sent[name]})
            return f"{reverse('scoring:round_order', args=[yard])}?{stepped}"
    return reverse("scoring:round", args=[yard])


def _held(asked: Mapping[str, Any], ref: UUID, number: int, last: int) -> str:
    """Return the step whose button is held on to: the one just pressed, while it leads on."""
    pressed = next((name for name in _STEPS if asked.get(name) == str(ref)), "")
    if pressed and number == 1:
        return "down"
    return "up" if pressed and number == last else pressed


def _asked(found: queries.WalkCard, sent: Mapping[str, Any]) -> dict[str, Any]:
    """Return the order that the numbers ask for, then the step that was pressed."""
    places, faults = {}, []
    for each in found.horses:
        name = f"place.{each.ref}"
        typed = str(sent.get(name, "")).strip()
        if typed and not (typed.isdecimal() and typed.isascii() and 0 < int(typed[:6]) < 10_000):
            ends: dict[str, str | int] = {"low": 1, "high": len(found.horses)}
            faults.append(FieldError(name, "out_of_range", ends))
        elif typed:
            places[each.ref] = int(typed)
    if faults:
        raise errors.Invalid(*faults)
    refs = walk.placed([each.ref for each in found.horses], places)
    for name, by in _STEPS.items():
        moved = next((ref for ref in refs if str(ref) == sent.get(name)), None)
        if moved is not None:
            refs = walk.stepped(refs, moved, by)
    return {"horses": [str(ref) for ref in refs]}


def _page(
    request: HttpRequest,
    viewer: Viewer,
    found: queries.WalkCard,
    sent: Mapping[str, Any],
    *,
    now: datetime,
    refused: errors.Refused | None = None,
) -> HttpResponse:
    faults = refused.errors if refused is not None else ()
    asked = request.GET if refused is None else {}
    named = {each.field for each in faults}
    context = {
        "walk": found,
        "rows": [
            {
                "ref": each.ref,
                "name": each.name,
                "placed": each.placed,
                "value": sent.get(f"place.{each.ref}", number),
                "fault": f"place.{each.ref}" in named,
                "held": _held(asked, each.ref, number, len(found.horses)),
            }
            for number, each in enumerate(found.horses, start=1)
        ],
        "faults": [
            {
                "target": each.field if each.field.startswith("place.") else "",
                "message": wording.say(each.key, each.params),
            }
            for each in faults
        ],
    }
    status = refused.status if refused is not None else 200
    return frame.page(
        request,
        viewer,
        "scoring/round/order.html",
        context,
        now=now,
        zone=found.time_zone,
        current="scoring:rounds",
        status=status,
    )
