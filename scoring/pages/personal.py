"""Data protection: what is personal here, why, how long it is kept, who sees it; one's own copy."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods

from scoring.actions import personal as actions
from scoring.pages import personal_words
from scoring.queries import personal as queries
from yards.pages import clocks, forms, tables, words
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.queries import erasing, yards
from yards.queries.people import PersonName
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer


@require_http_methods(forms.METHODS)
@screen("data protection", sure=Sure(Verb.CHANGE_PEOPLE))
def personal(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Say what is held of people, and hand out what is held of one."""
    people, erased = queries.list_known(viewer), erasing.list_erased(viewer)
    known = [(str(each.id), bidi.isolated(each.name)) for each in people]
    form = forms.Form(
        title=gettext("Data protection"),
        lead=gettext(
            "What is held of people here, and why. You decide for your organisation whether that "
            "is lawful where you are; this page says what there is."
        ),
        controls=(
            Control(
                "person",
                gettext("Person"),
                "pick",
                choices=known,
                empty=gettext("Choose"),
                hint=gettext("Whoever has or had a grant here. The record says that you did it."),
            ),
        ),
        submit=gettext("Download their data as JSON"),
        back=(reverse("yards:organisation"), gettext("Settings of the organisation")),
        current="yards:yards",
        makes=False,
        template="scoring/personal.html",
        more={
            "table": _table(),
            "people": _ways(viewer, people, erased),
            "erased": _erased(viewer, erased),
        },
    )

    def act(raw: dict[str, Any]) -> HttpResponse:
        person, text = actions.export_person(viewer, raw, now=now)
        answer = HttpResponse(text, content_type="application/json")
        answer["Content-Disposition"] = f'attachment; filename="person-{person}.json"'
        return answer

    return forms.answered(request, viewer, form, act, now=now)


def _ways(
    viewer: Viewer, people: Sequence[PersonName], erased: Sequence[erasing.Erased]
) -> list[tables.Link]:
    """Return the ways to erase each person but oneself and those who are."""
    apart = {each.person for each in erased} | {viewer.person}
    return [
        tables.Link(reverse("scoring:erase", args=[each.id]), gettext("Erase"), each.name)
        for each in people
        if each.id not in apart
    ]


def _erased(viewer: Viewer, erased: Sequence[erasing.Erased]) -> tables.Table:
    zone = clocks.zone_of(yards.all_yards(viewer))
    return tables.Table(
        caption=gettext("Whom you have erased"),
        columns=(gettext("Called now"), gettext("When"), gettext("By"), gettext("Why")),
        rows=[
            tables.Row(
                (
                    tables.Cell(each.alias, href=reverse("yards:person", args=[each.person])),
                    tables.Cell(words.at(each.at, zone)),
                    *(tables.Cell(each.by), tables.Cell(each.reason)),
                )
            )
            for each in erased
        ],
        empty=gettext("Nobody has been erased"),
    )


def _table() -> tables.Table:
    return tables.Table(
        caption=gettext("What is held of people"),
        columns=(
            *(gettext("What"), gettext("Why")),
            *(gettext("How long"), gettext("Who sees it")),
        ),
        rows=[
            tables.Row([tables.Cell(text) for text in (each.what, each.why, each.long, each.who)])
            for each in personal_words.held()
        ],
        empty="",
    )
