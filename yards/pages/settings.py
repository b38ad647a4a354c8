"""One's own page: who I am here, and how I read."""

from datetime import datetime
from typing import Any

from django.conf import settings as house
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from yards.actions import tastes as actions
from yards.pages import forms
from yards.pages.controls import Choices, Control
from yards.pages.screen import screen
from yards.pages.tables import Link
from yards.queries import tastes
from yards.rules import units
from yards.rules.roles import Viewer


@require_http_methods(forms.METHODS)
@screen("settings")
def settings(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show, or set, the language and units of whoever is signed in."""

    def act(raw: dict[str, Any]) -> str:
        actions.change_tastes(viewer, raw, now=now)
        return reverse("yards:settings")

    return forms.answered(request, viewer, _form(), act, now=now)


def _form() -> forms.Form:
    mine = tastes.current()
    return forms.Form(
        title=gettext("Your language and units"),
        lead=gettext("Everything is kept in kilograms and centimetres; this is how you read it."),
        controls=(
            Control("language", gettext("Language"), "pick", choices=list(house.LANGUAGES)),
            Control("weight_unit", gettext("Weight"), "segments", choices=_units(units.WEIGHT)),
            Control(
                "length_unit", gettext("Girth and length"), "segments", choices=_units(units.LENGTH)
            ),
            Control("height_unit", gettext("Height"), "segments", choices=_units(units.HEIGHT)),
        ),
        submit=gettext("Save"),
        back=("/", gettext("Yard board")),
        start={
            "language": mine.language,
            "weight_unit": mine.weight,
            "length_unit": mine.length,
            "height_unit": mine.height,
        },
        makes=False,
        links=_links(),
    )


def _links() -> tuple[Link, ...]:
    return (
        Link(reverse("account_change_password"), gettext("Your password")),
        Link(reverse("mfa_index"), gettext("Your second factor")),
        Link(reverse("usersessions_list"), gettext("Where you are signed in")),
        Link(reverse("account_email"), gettext("Your e-mail address")),
        Link(reverse("yards:organisations"), gettext("Your organisations")),
        Link(reverse("yards:tokens"), gettext("Your tokens for phones and programs")),
        Link(reverse("yards:glass"), gettext("Break-glass, in need")),
    )


def _units(names: tuple[str, ...]) -> Choices:
    return [(each, tastes.name(each)) for each in names]
