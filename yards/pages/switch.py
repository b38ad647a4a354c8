"""Whoever serves several organisations says in which one they work now."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from yards.access import viewers
from yards.pages import forms, screen
from yards.pages.controls import Control
from yards.rules import bidi, errors
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer


@require_http_methods(forms.METHODS)
@screen.screen("organisations")
def organisations(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show where one is let in, or go there; the next page is that organisation's."""
    held = viewers.own_memberships(viewer, now)
    form = forms.Form(
        title=gettext("Your organisations"),
        lead=gettext(
            "Pages show one organisation at a time. What this phone still holds for another is "
            "sent when you are back in that one."
        ),
        controls=(
            Control(
                "organisation",
                gettext("Work in"),
                "segments",
                choices=[(str(each.id), bidi.isolated(each.name)) for each in held],
            ),
        ),
        submit=gettext("Go there"),
        back=(reverse("yards:settings"), gettext("Your settings")),
        start={"organisation": str(viewer.organisation)},
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        chosen = str(raw.get("organisation", ""))
        if chosen not in {str(each.id) for each in held}:
            raise errors.Invalid(FieldError("organisation", "unknown_reference"))
        request.session[screen.SESSION_KEY] = str(UUID(chosen))
        return "/"

    return forms.answered(request, viewer, form, act, now=now)
