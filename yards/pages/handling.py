"""The note on handling an animal: what whoever goes up to it must know, from whoever learnt it."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from yards.access import doors
from yards.actions import horses as actions
from yards.pages import animal_forms, forms
from yards.pages.screen import screen
from yards.queries import horses, yards
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("handling", "horse")
def handling(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Write the note, or take it back; what stood before stays in the record."""
    card = horses.get_horse(viewer, id)
    doors.require(viewer, Verb.RECORD_EVENTS)
    page = reverse("scoring:horse", args=[id])
    form = forms.Form(
        title=gettext("Handling {name}").format(name=bidi.isolated(card.name)),
        lead=gettext(
            "It stands on every round and above the scoring page, for whoever goes in next."
        ),
        controls=(animal_forms.handling(),),
        submit=gettext("Save this note"),
        back=(page, card.name),
        start={"handling": card.handling, "version": str(card.version)},
        hidden=("version",),
        zone=yards.get_yard(viewer, card.yard.ref).time_zone,
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.change_horse(viewer, id, {"handling": None, **forms.counted(raw)}, now=now)
        return page

    return forms.answered(request, viewer, form, act, now=now)
