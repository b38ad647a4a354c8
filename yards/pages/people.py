"""People: who is let in, to what, until when; letting in, and ending it."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from yards.access import doors
from yards.actions import grants as actions
from yards.pages import clocks, day_grants, forms, frame, people_tables, sheets, tables, words
from yards.pages.controls import Control
from yards.pages.screen import screen
from yards.queries import people as queries
from yards.queries import roll, roster, yards
from yards.queries.horses import HorseCard
from yards.rules import bidi, errors, grant, horse
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer, may

OVER = "over"
# A grant names up to three horses on its form; a second grant adds more, and both hold together.
HORSES = ("horses", "second_horse", "third_horse")


@require_safe
@screen("people")
def people(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List the grants, those in force or those that have ended."""
    over = request.GET.get("state") == OVER
    found = roster.list_people(viewer, now=now, over=over, cursor=request.GET.get("cursor"))
    zone = clocks.zone_of(yards.all_yards(viewer))
    context: dict[str, Any] = {
        "title": gettext("People"),
        "lead": gettext("Who is let in, to what, and until when."),
        "links": (
            tables.Link(reverse("yards:issue_grant"), gettext("Let somebody in"), go=True),
            tables.Link(reverse("yards:tokens"), gettext("Tokens")),
            tables.Link(reverse("scoring:absences"), gettext("Who is away")),
            tables.Link(reverse("yards:glass"), gettext("Break-glass")),
        ),
        "filters": [{"label": gettext("In force or ended"), "choices": _states(over)}],
        "table": people_tables.people(found, now, zone, over=over),
        "note": f"{_no_password()} {clocks.named(zone)}",
    }
    if may(viewer, Verb.CHANGE_PEOPLE) and not over:
        context |= {
            "today": day_grants.form_of(viewer),
            "today_id": forms.new_id(),
            "today_sheet": sheets.Sheet({}),
        }
    return frame.page(
        request, viewer, "yards/people.html", context, now=now, zone=zone, current="yards:people"
    )


def _states(over: bool) -> list[tables.Filter]:
    return [
        tables.Filter("?", gettext("In force"), not over),
        tables.Filter(tables.query(state=OVER), gettext("Ended"), over),
    ]


def _no_password() -> str:
    return gettext(
        "Somebody new has no password yet: invitations to sign in come with a later version. Until "
        "then a token lets their phone in, to record; or whoever runs the server sets a first "
        "password for them: manage.py changepassword, then their e-mail address."
    )


@require_http_methods(forms.METHODS)
@screen("grant", "grant")
def issue_grant(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """Let somebody in."""
    doors.require(viewer, Verb.CHANGE_PEOPLE)
    places = yards.all_yards(viewer)
    zone = clocks.zone_of(places)
    known = roll.list_by_name(viewer, statuses=horse.HERE, size=_HORSES_AT_MOST).horses
    form = forms.Form(
        title=gettext("Let somebody in"),
        lead=_no_password(),
        controls=(*_who(), *_what(places, known), *_how_long(zone), *_vets_number(), *_sight()),
        submit=gettext("Let them in"),
        back=(reverse("yards:people"), gettext("People")),
        zone=zone,
        current="yards:people",
    )

    def act(raw: dict[str, Any]) -> str:
        try:
            actions.issue_grant(viewer, _body(raw), now=now)
        except errors.Invalid as refused:
            raise errors.Invalid(*map(_as_asked, refused.errors)) from refused
        return reverse("yards:people")

    return forms.answered(request, viewer, form, act, now=now)


_HORSES_AT_MOST = 1000


def _who() -> tuple[Control, ...]:
    return (
        Control(
            "person",
            gettext("E-mail address"),
            "email",
            hint=gettext("Whoever has had a grant before is known by it."),
        ),
        Control("name", gettext("Name"), hint=gettext("Somebody known already keeps their name.")),
        Control(
            "role",
            gettext("Role"),
            "segments",
            choices=[(each, capfirst(frame.role_label(each))) for each in grant.ROLES],
            hint=gettext(
                "An assessor scores, weighs and answers alerts. A vet also sets bands and has the "
                "last word on an alert. An auditor reads, and every look is recorded. A "
                "coordinator looks after horses, yards and people."
            ),
        ),
    )


def _what(places: tuple[yards.YardCard, ...], known: tuple[HorseCard, ...]) -> tuple[Control, ...]:
    animals = [
        (str(each.ref), f"{bidi.isolated(each.name)}, {bidi.isolated(each.yard.name)}")
        for each in known
    ]
    labels = (gettext("One horse"), gettext("Another horse"), gettext("A third horse"))
    hints = (
        gettext("Wherever it stands. For more than three, let the person in a second time."),
        *("", ""),
    )
    return (
        Control(
            "all_yards",
            gettext("All yards, also those to come"),
            "flag",
            hint=gettext("A coordinator always has all yards."),
        ),
        Control(
            "yards",
            gettext("Or only these yards"),
            "ticks",
            choices=[(str(each.ref), bidi.isolated(each.name)) for each in places],
            hint="" if places else gettext("There is no yard yet."),
        ),
        *(
            Control(name, label, "pick", choices=animals, empty=gettext("None"), hint=hint)
            for name, label, hint in zip(HORSES, labels, hints, strict=True)
        ),
    )


def _how_long(zone: str) -> tuple[Control, ...]:
    return (
        Control("from", gettext("From"), "moment", gettext("Empty: from now on.")),
        Control(
            "until",
            gettext("Until"),
            "moment",
            " ".join((gettext("Empty: until you end it."), clocks.named(zone))),
        ),
        Control("reason", gettext("Why"), hint=gettext("For example: cover for July")),
    )


def _vets_number() -> tuple[Control, ...]:
    return (
        Control(
            "registration_number",
            gettext("The vet's registration number"),
            hint=gettext(
                "For a vet only. The grant waits until the vet signs in with their own password."
            ),
        ),
        Control("register", gettext("The register that holds it"), hint=gettext("For a vet only.")),
    )


def _sight() -> tuple[Control, ...]:
    return (
        Control(
            "record_from",
            gettext("An auditor's part of the record, from"),
            "moment",
            gettext("For an insurer, for instance: nothing taken before is shown. Empty: all."),
        ),
        Control("record_until", gettext("Until"), "moment", gettext("Nothing taken after.")),
        Control("sees_notes", gettext("An auditor sees notes on cases too"), "flag"),
        Control("sees_clinical", gettext("An auditor sees clinical notes too"), "flag"),
        Control("sees_contacts", gettext("An auditor sees e-mail addresses too"), "flag"),
    )


def _body(raw: dict[str, Any]) -> dict[str, Any]:
    """Return the contract's body; raises Invalid where all yards and some are both said."""
    body = {
        name: value
        for name, value in raw.items()
        if name not in {"all_yards", *HORSES} and (name != "name" or "@" in str(raw.get("person")))
    }
    body["horses"] = [raw[name] for name in HORSES if name in raw]
    if raw.get("all_yards"):
        if raw.get("yards"):
            raise errors.Invalid(FieldError("yards", "all_or_some_yards"))
        body["yards"] = grant.ALL
    return body


def _as_asked(fault: FieldError) -> FieldError:
    """Return a fault as the page asks: it knows people by e-mail only."""
    if fault.field == "person" and fault.key == "not_an_id":
        return FieldError("person", "not_an_email")
    return fault


@require_http_methods(forms.METHODS)
@screen("grant", "grant")
def revoke_grant(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """End a grant from now on."""
    card = queries.get_grant(viewer, id)
    zone = clocks.zone_of(yards.all_yards(viewer))
    lead = gettext(
        "{name} is refused from the next click on, with every phone and program of theirs. What "
        "they recorded stays. This cannot be undone; you can let them in again."
    )
    gone = gettext("This was ended on {day}. Nothing more needs doing.")
    form = forms.Form(
        title=gettext("End the grant of {name}").format(name=bidi.isolated(card.person.name)),
        lead=(
            lead.format(name=bidi.isolated(card.person.name))
            if card.revoked_at is None
            else gone.format(day=words.day(card.revoked_at, zone))
        ),
        controls=(Control("reason", gettext("Why"), hint=gettext("Kept in the record.")),),
        submit=gettext("End it now"),
        back=(reverse("yards:people"), gettext("People")),
        zone=zone,
        current="yards:people",
        makes=False,
    )

    def act(raw: dict[str, Any]) -> str:
        actions.revoke_grant(viewer, id, raw, now=now)
        return reverse("yards:people") + tables.query(state=OVER)

    return forms.answered(request, viewer, form, act, now=now)
