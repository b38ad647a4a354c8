"""Alerts: read one, say what happens next, close it with a reason."""

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from scoring.actions import alert_notes
from scoring.actions import alerts as actions
from scoring.pages import alert_cards, alert_shown, answers
from scoring.queries import alerts as queries
from scoring.rules import ladder
from yards.access import doors
from yards.pages import frame, sheets
from yards.pages.screen import screen
from yards.rules import errors, sheet
from yards.rules.roles import Verb, Viewer

# The reason to put an alert off, on a page that asks for another reason too.
WHY = "why"
METHODS = ("GET", "HEAD", "POST")


@require_safe
@screen("alerts")
def alerts(request: HttpRequest, viewer: Viewer, now: datetime) -> HttpResponse:
    """List alerts: those not resolved, or the resolved ones."""
    state = request.GET.get("state", queries.UNRESOLVED)
    if state not in {queries.UNRESOLVED, "open", "resolved"}:
        state = queries.UNRESOLVED
    page = queries.list_alerts(
        viewer, queries.Wanted(state=state), cursor=request.GET.get("cursor") or None
    )
    cards = sorted(page.items, key=lambda card: -ladder.rank(card.severity))
    context = {
        "filters": _filters(queries.count_alerts(viewer), state),
        "alerts": answers.alerts(viewer, cards, now),
        "older_query": f"?{urlencode({'state': state, 'cursor': page.next})}" if page.next else "",
    }
    zone = cards[0].time_zone if cards else "UTC"
    return frame.page(
        request,
        viewer,
        "scoring/alerts.html",
        context,
        now=now,
        zone=zone,
        current="scoring:alerts",
    )


def _filters(counts: Mapping[str, int], state: str) -> list[dict[str, Any]]:
    every = sum(counts.values())
    named = {
        queries.UNRESOLVED: (gettext("Not resolved"), every - counts.get("resolved", 0)),
        "open": (gettext("Open"), counts.get("open", 0)),
        "resolved": (gettext("Resolved"), counts.get("resolved", 0)),
    }
    return [
        {"query": f"?{urlencode({'state': key})}", "label": label, "count": count}
        | {"current": key == state}
        for key, (label, count) in named.items()
    ]


@require_http_methods(METHODS)
@screen("alert", "alert")
def alert(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show one alert, with the cards that this viewer may use.

    They are one form, each with its own button; sent without one, what was typed comes back.
    """
    card = queries.get_alert(viewer, id)
    if request.method != "POST":
        return alert_shown.page(request, viewer, card, now)
    doors.require(viewer, Verb.ANSWER_ALERTS)
    sent = alert_cards.typed(sheets.typed(request.POST))
    kept = (gettext("Nothing was saved yet."), gettext("Press the button of what you mean."))
    return alert_shown.page(request, viewer, card, now, sent=sent, kept=kept)


Act = Callable[..., object]


def _answered(
    request: HttpRequest,
    viewer: Viewer,
    now: datetime,
    id: UUID,
    form: tuple[str, Act, tuple[str, ...]],
) -> HttpResponse:
    """Hand what was typed into one of an alert's forms to its action; asked for, show the alert.

    ``form`` is its name on the page, the action, and which of its fields are local times.
    """
    name, act, times = form
    card = queries.get_alert(viewer, id)
    if request.method != "POST":
        return alert_shown.page(request, viewer, card, now)
    sent = alert_cards.typed(sheets.typed(request.POST))
    raw = sheet.nested(sent[name].values, times=times, zone=card.time_zone)
    if WHY in raw:
        raw["reason"] = raw.pop(WHY)
    try:
        act(viewer, id, raw, now=now)
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(sent[name].values, refused)
        if name == "snooze" and "reason" in again.errors:
            again.errors[WHY] = again.errors.pop("reason")
        card, sent[name] = queries.get_alert(viewer, id), again
        return alert_shown.page(request, viewer, card, now, sent=sent, status=refused.status)
    left = alert_cards.left_over(sent, name, alert_shown.offered(viewer, card))
    if not left:
        return HttpResponseRedirect(reverse("scoring:alert", args=[id]), status=303)
    card = queries.get_alert(viewer, id)
    kept = (gettext("Saved."), gettext("What else you typed is below, and not saved yet."))
    return alert_shown.page(request, viewer, card, now, sent=left, kept=kept)


@require_http_methods(METHODS)
@screen("alert", "alert")
def acknowledge(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Take an alert on: the next step, and by when. Asked for again, it is the alert's page."""
    return _answered(request, viewer, now, id, ("acknowledge", actions.acknowledge, ("by",)))


@require_http_methods(METHODS)
@screen("alert", "alert")
def resolve(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Close an alert with a reason. Asked for again, it is the alert's page."""
    return _answered(request, viewer, now, id, ("resolve", actions.resolve, ()))


@require_http_methods(METHODS)
@screen("alert", "alert")
def snooze(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Put an alert off until a time, with a reason. Asked for again, it is the alert's page."""
    return _answered(request, viewer, now, id, ("snooze", actions.snooze, ("until",)))


@require_http_methods(METHODS)
@screen("alert", "alert")
def assign(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Make an alert somebody's. Asked for again, it is the alert's page."""
    return _answered(request, viewer, now, id, ("assign", alert_notes.assign, ()))


@require_http_methods(METHODS)
@screen("alert", "alert")
def comment(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Say something about an alert. Asked for again, it is the alert's page."""
    return _answered(request, viewer, now, id, ("comment", alert_notes.comment, ()))
