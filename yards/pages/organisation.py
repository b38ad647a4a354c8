"""The organisation's own page: how its scores are summed up on pages, and who proves what."""

from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from yards.actions import organisations as actions
from yards.pages import forms
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.pages.tables import Link
from yards.queries import organisations as queries
from yards.rules import bidi
from yards.rules import organisation as rule
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("organisation", sure=Sure(Verb.CHANGE_ORGANISATION))
def organisation(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Show, or set, what the organisation chose."""
    card = queries.get_organisation(viewer)
    form = forms.Form(
        title=gettext("Settings of {name}").format(name=bidi.isolated(card.name)),
        lead=gettext(
            "Both are always shown. This says which one stands first. Target band, alerts and "
            "trend go by the mean, whichever you choose."
        ),
        controls=(_rule(), _second_factor()),
        submit=gettext("Save these settings"),
        back=(reverse("yards:yards"), gettext("Yards")),
        start={
            "overall_rule": card.overall_rule,
            "second_factor": "true" if card.second_factor else "",
            "version": str(card.version),
        },
        hidden=("version",),
        current="yards:yards",
        makes=False,
        links=(Link(reverse("scoring:personal"), gettext("Data protection")),),
    )

    def act(raw: dict[str, Any]) -> str:
        actions.change_organisation(viewer, raw, now=now)
        return reverse("yards:organisation")

    return forms.answered(request, viewer, form, act, now=now)


def _second_factor() -> Control:
    return Control(
        "second_factor",
        gettext("Ask coordinators, vets and auditors for a second factor"),
        "flag",
        hint=gettext(
            "A code from an app, or a key, besides the password. Whoever has none is led to set "
            "one up at the next click and sees nothing else until then. Tokens of phones and "
            "programs that were made before go on: end them under Tokens."
        ),
    )


def _rule() -> Control:
    return Control(
        "overall_rule",
        gettext("Overall score of three regions"),
        "segments",
        choices=(
            (rule.MEAN, gettext("Mean of the three")),
            (rule.PELVIS_LED, gettext("Pelvis-led")),
        ),
        hint=gettext(
            "Pelvis-led: the score of the hindquarters, moved by half a point toward neck or back "
            "where one of them lies a point or more away (Carroll and Huntington 1988). Where the "
            "two pull opposite ways it stays; no rule is printed for that, so this is our choice."
        ),
    )
