"""A horse for named people only: naming them, and opening it again."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from yards.access import doors
from yards.actions import restrictions as actions
from yards.pages import forms
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.queries import horses, roster, sight
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("restriction", "horse", sure=Sure(Verb.RESTRICT_HORSES, sending_only=True))
def restrict_horse(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Restrict a horse to named people, or name others."""
    card = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RESTRICT_HORSES)
    closed = sight.restriction_of(viewer, id)
    people = roster.who_enters(viewer, now=now)
    form = forms.Form(
        title=gettext("Who may know of {name}").format(name=bidi.isolated(card.name)),
        lead=gettext(
            "For a seized animal or a case: only those you name see it, and are told of its "
            "alerts. To everybody else it is as if it were not here. You are always among them."
        ),
        caution=gettext("Name the vet too, if the vet is to be called for it."),
        controls=(
            Control(
                "people",
                gettext("Only these people"),
                "ticks",
                choices=[
                    (str(each.id), bidi.isolated(each.name))
                    for each in people
                    if each.id != viewer.person
                ],
            ),
            Control("reason", gettext("Why"), hint=gettext("Kept in the record.")),
        ),
        submit=gettext("Restrict it now"),
        back=(reverse("yards:horse_seen", args=[id]), card.name),
        start=_start(closed),
        makes=False,
        current="yards:horses",
    )

    def act(raw: dict[str, Any]) -> str:
        actions.restrict(viewer, id, raw, now=now)
        return reverse("yards:horse_seen", args=[id])

    return forms.answered(request, viewer, form, act, now=now)


def _start(closed: sight.Closed | None) -> dict[str, Any]:
    if closed is None:
        return {}
    return {"people": [str(each.id) for each in closed.people], "reason": closed.reason}


@require_http_methods(forms.METHODS)
@screen("restriction_lifted", "horse", sure=Sure(Verb.RESTRICT_HORSES, sending_only=True))
def open_horse(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Lift a horse's restriction."""
    card = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RESTRICT_HORSES)
    form = forms.Form(
        title=gettext("Lift the restriction of {name}").format(name=bidi.isolated(card.name)),
        lead=gettext("Everybody in whose yards it stands sees it again, with all its record."),
        controls=(Control("reason", gettext("Why"), hint=gettext("Kept in the record.")),),
        submit=gettext("Lift it now"),
        back=(reverse("yards:horse_seen", args=[id]), card.name),
        makes=False,
        current="yards:horses",
    )

    def act(raw: dict[str, Any]) -> str:
        actions.lift(viewer, id, raw, now=now)
        return reverse("yards:horse_seen", args=[id])

    return forms.answered(request, viewer, form, act, now=now)
