"""Erasing a person: what goes, what stays, and the press that cannot be undone."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext, ngettext
from django.views.decorators.http import require_http_methods

from scoring.pages import personal_words
from scoring.queries import free_words
from yards.actions import erasing as actions
from yards.pages import forms, tables
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.queries import erasing as queries
from yards.rules import bidi
from yards.rules import erasure as rule
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class Held:
    """Texts of one kind that hold the name: what they are, how many, and on which horses."""

    what: str
    rows: int
    horses: tuple[tables.Link, ...]


@require_http_methods(forms.METHODS)
@screen("erasing a person", "person", sure=Sure(Verb.CHANGE_PEOPLE))
def erase(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Say what goes and what stays, and erase."""
    known = queries.known(viewer, id)
    name = bidi.isolated(known.name)
    more = _said(viewer, known, now)
    form = forms.Form(
        title=gettext("Erase {name}").format(name=name) if known.at is None else name,
        lead=gettext("Your organisation calls them by an alias from then on. Nothing undoes it."),
        controls=(
            Control("reason", gettext("Why"), hint=gettext("Kept in the record, so: no name.")),
            *_texts(more),
            Control("understood", gettext("I have read what goes and what stays"), "flag"),
        ),
        submit=gettext("Erase for good"),
        back=(reverse("scoring:personal"), gettext("Data protection")),
        current="yards:yards",
        makes=False,
        template="scoring/erase.html",
        more=more,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.erase(viewer, id, raw, now=now)
        return reverse("scoring:personal") + "#erased"

    return forms.answered(request, viewer, form, act, now=now)


def _texts(more: dict[str, Any]) -> tuple[Control, ...]:
    """Ask of texts that others wrote where any hold the name."""
    asked = gettext("Put the alias in the place of the name in these texts too")
    hint = gettext(
        "The rest of each text stays. Readings and alerts keep the times and hands they have."
    )
    return (Control("texts", asked, "flag", hint),) if more.get("holding") else ()


def _said(viewer: Viewer, known: queries.Known, now: datetime) -> dict[str, Any]:
    if known.at is not None:
        done = gettext("They have been erased.")
        left = gettext(
            "Texts that others wrote and that hold the name stay as they are, unless it was ticked "
            "then that the alias takes its place."
        )
        return {"goes": [done, left]}
    grants = queries.count_grants(viewer, known.id, now)
    entries = len(queries.entries_of(viewer, known))
    ended = ngettext("{n} grant ends", "{n} grants end", grants).format(n=grants)
    emptied = ngettext(
        "What {n} entry of the record says is removed: those about them, and those that hold "
        "their name or address.",
        "What {n} entries of the record say is removed: those about them, and those that hold "
        "their name or address.",
        entries,
    ).format(n=entries)
    return {
        "goes": [
            gettext(
                "{grants}, with every token, absence, invitation and board view of theirs."
            ).format(grants=ended),
            *personal_words.goes(vet=known.is_vet),
            emptied,
        ],
        "stays": personal_words.stays(),
        "single": rule.is_single(known.name),
        "holding": [_held(each) for each in free_words.holding(viewer, known)],
    }


def _held(found: free_words.Holding) -> Held:
    horses = tuple(
        tables.Link(reverse("scoring:horse", args=[ref]), name) for ref, name in found.horses
    )
    return Held(personal_words.texts(found.table), found.rows, horses)
