"""Alerts: read one, say what happens next, close it with a reason."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext
from django.views.decorators.http import require_http_methods, require_safe

from scoring.actions import alerts as actions
from scoring.pages import answers, came, done, rule_forms, vet_said
from scoring.queries import alerts as queries
from scoring.queries import rules, vet_words, wording
from scoring.rules import ladder, own_rule
from yards.pages import frame, sheets, tables
from yards.pages.screen import screen
from yards.rules import errors, sheet
from yards.rules.roles import Role, Verb, Viewer, may


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


@require_safe
@screen("alert", "alert")
def alert(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Show one alert, with the forms that this viewer may use."""
    return _page(request, viewer, queries.get_alert(viewer, id), now)


@require_http_methods(["GET", "HEAD", "POST"])
@screen("alert", "alert")
def acknowledge(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Take an alert on: the next step, and by when. Asked for again, it is the alert's page."""
    card = queries.get_alert(viewer, id)
    if request.method != "POST":
        return _page(request, viewer, card, now)
    values = sheets.typed(request.POST)
    raw = sheet.nested(values, times=("by",), zone=card.time_zone)
    try:
        actions.acknowledge(viewer, id, raw, now=now)
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(values, refused)
        card = queries.get_alert(viewer, id)
        return _page(request, viewer, card, now, acknowledge=again, status=refused.status)
    return HttpResponseRedirect(reverse("scoring:alert", args=[id]), status=303)


@require_http_methods(["GET", "HEAD", "POST"])
@screen("alert", "alert")
def resolve(request: HttpRequest, viewer: Viewer, now: datetime, id: UUID) -> HttpResponse:
    """Close an alert with a reason. Asked for again, it is the alert's page."""
    card = queries.get_alert(viewer, id)
    if request.method != "POST":
        return _page(request, viewer, card, now)
    values = sheets.typed(request.POST)
    try:
        actions.resolve(viewer, id, sheet.nested(values), now=now)
    except (errors.Invalid, errors.Conflict) as refused:
        again = sheets.refused(values, refused)
        card = queries.get_alert(viewer, id)
        return _page(request, viewer, card, now, resolve=again, status=refused.status)
    return HttpResponseRedirect(reverse("scoring:alert", args=[id]), status=303)


def _page(
    request: HttpRequest,
    viewer: Viewer,
    card: queries.AlertCard,
    now: datetime,
    *,
    acknowledge: sheets.Sheet | None = None,
    resolve: sheets.Sheet | None = None,
    status: int = 200,
) -> HttpResponse:
    protected = card.rule in ladder.PROTECTED
    may_answer = may(viewer, Verb.ANSWER_ALERTS)
    word = _word(viewer, card)
    start = _start(card, word, now)
    context: dict[str, Any] = {
        "alert": answers.alert(viewer, card, now, word),
        "done": done.of(request, viewer, card.time_zone, now=now),
        "offered": "next_step" in start,
        "ways": _ways(viewer, card),
        "not_known": wording.not_known(card.rule),
        "read_by": answers.read_by(queries.read_by(viewer, [card.id]).get(card.id), card.time_zone),
        "acting": rule_forms.acting(
            rules.acting_on(viewer, card.horse, card.rule, now=now), card.time_zone
        ),
        "unasked": card.state != ladder.RESOLVED and card.unasked_since is not None,
        "may_except": may(viewer, Verb.EXCEPT_HORSES) and not own_rule.is_fixed(card.rule),
        "history": answers.history(card),
        "acknowledge": _named(acknowledge or sheets.Sheet(start)),
        "resolve": _named(resolve or sheets.Sheet()),
        "may_answer": may_answer,
        "may_resolve": may_answer and (not protected or may(viewer, Verb.RESOLVE_PROTECTED)),
        "vet_must_speak": protected and viewer.role is not Role.VET,
        "zone": card.time_zone,
    }
    return frame.page(
        request,
        viewer,
        "scoring/alert.html",
        context,
        now=now,
        zone=card.time_zone,
        status=status,
    )


def _start(card: queries.AlertCard, word: vet_words.Word | None, now: datetime) -> dict[str, str]:
    """Return what an acknowledgement begins with: when it is due, and a vet's word on the alert."""
    by = ladder.next_step_by(card.severity, now).astimezone(ZoneInfo(card.time_zone))
    is_open = card.state == ladder.OPEN
    step = {"next_step": vet_said.step(word)} if word is not None and is_open else {}
    return {"by": by.strftime("%Y-%m-%dT%H:%M"), **step}


def _word(viewer: Viewer, card: queries.AlertCard) -> vet_words.Word | None:
    """Return the last that a vet has said of the horse since the alert opened."""
    if card.state == ladder.RESOLVED:
        return None
    said = vet_words.spoken(viewer, {card.horse: card.opened_at})
    return vet_words.last(said, card.horse, card.opened_at)


def _ways(viewer: Viewer, card: queries.AlertCard) -> list[tables.Link]:
    """Return what a vet may say of the horse from here, leading back."""
    if card.state == ladder.RESOLVED or not may(viewer, Verb.OVERRIDE_BANDS):
        return []
    order = reverse("scoring:vet_order", args=[card.horse])
    page = reverse("scoring:alert", args=[card.id])
    return [tables.Link(came.linked(order, page), gettext("Give an order"), card.horse_name)]


def _named(form: sheets.Sheet) -> sheets.Sheet:
    form.labels = {
        "next_step": gettext("Next step"),
        "by": gettext("By when"),
        "note": gettext("Note"),
        "reason": gettext("Reason"),
        "vet_said": gettext("What the vet said"),
    }
    return form
