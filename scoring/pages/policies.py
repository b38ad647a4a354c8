"""How alerts escalate: each severity's ladder in words, and a change with its timetable before."""

from collections.abc import Mapping, Sequence
from datetime import datetime, time
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from scoring.actions import own_policies as actions
from scoring.pages import policy_forms
from scoring.queries import policies as queries
from scoring.queries import policy_words, wording
from scoring.rules import policy as rule
from scoring.rules import policy_input
from yards.access import doors
from yards.pages import clocks, forms, frame, sheets, tables
from yards.pages.controls import Control
from yards.pages.screen import Sure, screen
from yards.queries import yards
from yards.rules import bidi, daytime, errors
from yards.rules.roles import Verb, Viewer, may

SAVE = "save"
# When the alert of a preview opens: in the afternoon, and in the night.
TRIED_AT = (time(14), time(2))


@require_safe
@screen("policies")
def policies(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List every severity's ladder in words, with the way to change it."""
    found = queries.list_policies(viewer, now=now)
    changes = may(viewer, Verb.CHANGE_RULES)
    context = {
        "title": gettext("Who is told, and when"),
        "lead": gettext("What happens when an alert opens and nobody answers it."),
        "back": (reverse("scoring:alerts"), gettext("Alerts")),
        "links": _away_link(viewer),
        "table": tables.Table(
            caption=gettext("Who is told, and when"),
            columns=(gettext("Haste"), gettext("Who is told"), gettext("How it is set")),
            rows=[_row(card, changes) for card in found],
            empty=gettext("No ladders"),
        ),
        "note": gettext(
            "Whoever is away is left out while anybody else can be told. Only what is to be done "
            "now breaks a yard's quiet hours."
        ),
    }
    zone = clocks.zone_of(yards.all_yards(viewer))
    return frame.page(
        request, viewer, "yards/list.html", context, now=now, zone=zone, current="scoring:alerts"
    )


def _away_link(viewer: Viewer) -> list[tables.Link]:
    if not may(viewer, Verb.ANSWER_ALERTS):
        return []
    return [tables.Link(reverse("scoring:absences"), gettext("Who is away"))]


def _row(card: queries.PolicyCard, changes: bool) -> tables.Row:
    severity = card.policy.severity
    page, haste = reverse("scoring:policy", args=[severity]), wording.haste(severity)
    said = policy_words.steps(card.policy, card.names) or [policy_words.heard(card.policy)]
    how = gettext("The organisation's own") if card.is_own else gettext("As by default")
    links = [tables.Link(page, gettext("Change"), haste)] if changes else []
    return tables.Row(
        (
            tables.Cell(haste, policy_words.means(severity), page),
            tables.Cell(" ".join(said)),
            tables.Cell(how, policy_forms.since(card)),
        ),
        links,
    )


@require_http_methods(forms.METHODS)
@screen("policy", "policy", sure=Sure(Verb.CHANGE_RULES, sending_only=True))
def policy(request: HttpRequest, viewer: Viewer, now: datetime, severity: str) -> HttpResponse:
    """Show one ladder; preview a change as a timetable, then save it."""
    card = queries.get_policy(viewer, severity, now=now)
    if request.method != "POST":
        form = _form(request, viewer, card, card.policy, now)
        return forms.page(request, viewer, form, now=now)
    doors.require(viewer, Verb.CHANGE_RULES)
    roles = [f"steps.{place}.roles" for place in range(policy_input.RUNGS_MOST)]
    values = policy_forms.closed_up(sheets.typed(request.POST, roles))
    form = _form(request, viewer, card, card.policy, now, used=len(_asked(values)["steps"]))
    try:
        wanted = policy_input.asked(_asked(values), severity, now=now).policy
        shown = _previews(viewer, severity, values, now)
        mark = policy_forms.mark(severity, wanted, shown[0])
        is_same = wanted == card.policy
        if not is_same and values.get("press") == SAVE and values.get("previewed") == mark:
            actions.change_policy(viewer, severity, _change(values), now=now)
            page = reverse("scoring:policy", args=[severity]) + tables.query(saved="1")
            return HttpResponseRedirect(page, status=303)
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(values, refused, form.controls)
        return forms.page(request, viewer, form, now=now, sent=again, status=refused.status)
    values["previewed"] = mark
    told = policy_forms.told(shown, wanted, queries.choices_of(viewer, now=now))
    form = _form(request, viewer, card, wanted, now, told=told)
    form = forms.with_more(form, is_same=is_same)
    return forms.page(request, viewer, form, now=now, sent=sheets.Sheet(values))


def _asked(values: Mapping[str, Any], at: datetime | None = None) -> dict[str, Any]:
    found = {**policy_forms.raw_of(values), "yard": values.get("yard")}
    return found if at is None else {**found, "at": at.isoformat()}


def _change(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return a change to save: what it warns of has been shown above the button."""
    version = str(values.get("version", ""))
    return {
        **policy_forms.raw_of(values),
        "reason": values.get("reason"),
        "version": int(version) if version.isascii() and version.isdecimal() else version,
        "accept_unreached": True,
    }


def _previews(
    viewer: Viewer, severity: str, values: Mapping[str, Any], now: datetime
) -> Sequence[queries.Preview]:
    """Return what the ladder comes to for an alert of the afternoon, and for one of the night."""
    first = queries.preview(viewer, severity, _asked(values), now=now)
    zone = first.time_zone
    today = daytime.local_date(now, zone)
    times = [daytime.at_local(today, clock, zone) for clock in TRIED_AT]
    return [queries.preview(viewer, severity, _asked(values, at), now=now) for at in times]


def _form(
    request: HttpRequest,
    viewer: Viewer,
    card: queries.PolicyCard,
    wanted: rule.Policy,
    now: datetime,
    *,
    used: int = 0,
    told: policy_forms.Told | None = None,
) -> forms.Form:
    severity = card.policy.severity
    changes = may(viewer, Verb.CHANGE_RULES)
    people = queries.choices_of(viewer, now=now) if changes else ()
    longest = max(card.policy, wanted, key=lambda each: len(each.rungs))
    rows = max(policy_forms.rows_of(longest), used)
    steps = [
        policy_forms.controls(severity, place, people, _named(longest, place))
        for place in range(rows)
    ]
    after = (policy_forms.every(severity, card.policy), *_asked_last(viewer))
    return forms.Form(
        title=gettext("{haste}: who is told, and when").format(haste=wording.haste(severity)),
        lead=policy_words.means(severity),
        controls=(*(each for step in steps for each in step), *after),
        submit=gettext("See who would be told when"),
        back=(reverse("scoring:policies"), gettext("Who is told, and when")),
        zone=clocks.zone_of(yards.all_yards(viewer)),
        start={**policy_forms.start(card.policy), "version": str(card.version)},
        hidden=("version", "previewed"),
        current="scoring:alerts",
        makes=False,
        template="scoring/policy.html",
        named={each.name: _of_step(n, each) for n, step in enumerate(steps, 1) for each in step},
        more={
            "steps": steps,
            "after": after,
            "changes": changes,
            "told": told,
            "stands": policy_words.steps(card.policy, card.names)
            or [policy_words.heard(card.policy)],
            "since": policy_forms.since(card),
            # A form is sent to the address it stands at, which may still say so.
            "saved": request.method != "POST" and request.GET.get("saved") == "1",
        },
    )


def _asked_last(viewer: Viewer) -> tuple[Control, ...]:
    places = [(str(each.ref), bidi.isolated(each.name)) for each in yards.all_yards(viewer)]
    only = gettext("Only what is shown before you save. Saving changes the whole organisation.")
    return (
        Control("yard", gettext("Preview for"), "pick", only, choices=places),
        Control("reason", gettext("Reason"), hint=gettext("Kept in the record.")),
    )


def _of_step(number: int, asked: Control) -> str:
    return gettext("Step {n}, {what}").format(n=number, what=asked.label)


def _named(wanted: rule.Policy, place: int) -> int:
    return len(wanted.rungs[place].people) if place < len(wanted.rungs) else 0
