"""An alert's page: what was found, where it stands, what may be done, and what was done so far."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext

from scoring.pages import alert_history, answers, came, done, rule_forms, vet_said
from scoring.queries import alert_acts, hearers, policy_words, rules, vet_words, wording
from scoring.queries import alerts as queries
from scoring.rules import ladder, own_rule
from yards.access import doors
from yards.pages import controls, forms, frame, sheets, tables
from yards.rules import bidi
from yards.rules.roles import Role, Verb, Viewer, may

SNOOZED_FOR = timedelta(days=1)


def page(
    request: HttpRequest,
    viewer: Viewer,
    card: queries.AlertCard,
    now: datetime,
    *,
    sent: Mapping[str, sheets.Sheet] | None = None,
    kept: tuple[str, str] | None = None,
    status: int = 200,
) -> HttpResponse:
    """Return the page; ``sent`` holds what was typed by card, ``kept`` says why it stands there."""
    protected = card.rule in ladder.PROTECTED
    may_answer = may(viewer, Verb.ANSWER_ALERTS)
    word = _word(viewer, card)
    context: dict[str, Any] = {
        "alert": answers.alert(viewer, card, now, word),
        "done": done.of(request, viewer, card.time_zone, now=now),
        "ways": _ways(viewer, card),
        "not_known": wording.not_known(card.rule),
        "read_by": answers.read_by(queries.read_by(viewer, [card.id]).get(card.id), card.time_zone),
        "acting": rule_forms.acting(
            rules.acting_on(viewer, card.horse, card.rule, now=now), card.time_zone
        ),
        "unasked": card.state != ladder.RESOLVED and card.unasked_since is not None,
        "may_except": may(viewer, Verb.EXCEPT_HORSES) and not own_rule.is_fixed(card.rule),
        "history": alert_history.lines(card, alert_acts.list_acts(viewer, card.id)),
        "stands": alert_history.stands(card),
        "may_answer": may_answer,
        "may_resolve": may_answer and (not protected or may(viewer, Verb.RESOLVE_PROTECTED)),
        "may_snooze": may_answer and not protected and card.severity != ladder.URGENT,
        "vet_must_speak": protected and viewer.role is not Role.VET,
        "zone": card.time_zone,
        "kept": kept,
        **_forms(viewer, card, now, word, sent or {}),
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


def _forms(
    viewer: Viewer,
    card: queries.AlertCard,
    now: datetime,
    word: vet_words.Word | None,
    sent: Mapping[str, sheets.Sheet],
) -> dict[str, Any]:
    """Return the page's forms by name, each with what it begins with, and who may be chosen."""
    zone = ZoneInfo(card.time_zone)
    by = controls.local(ladder.next_step_by(card.severity, now).astimezone(zone))
    until = controls.local((now + SNOOZED_FOR).astimezone(zone))
    offered = _offered(card, word)
    starts: dict[str, dict[str, Any]] = {
        "acknowledge": {"by": by, **offered},
        "resolve": {},
        "snooze": {"until": until},
        "assign": {"person": str(card.owner.id) if card.owner is not None else ""},
        "comment": {"id": forms.new_id()},
    }
    found: dict[str, Any] = {
        name: _named(_begun(sent.get(name), start)) for name, start in starts.items()
    }
    people = []
    if may(viewer, Verb.ANSWER_ALERTS) and card.state != ladder.RESOLVED:
        horse = doors.horse_for_read(viewer, card.horse)
        able = hearers.of_horse(viewer, horse, now=now)
        people = [(str(each.id), bidi.isolated(each.name)) for each in able]
    owner = policy_words.owner(card.owner)
    return {**found, "people": people, "owner_words": owner, "offered": bool(offered)}


def _offered(card: queries.AlertCard, word: vet_words.Word | None) -> dict[str, str]:
    is_open = card.state == ladder.OPEN
    return {"next_step": vet_said.step(word)} if word is not None and is_open else {}


def offered(viewer: Viewer, card: queries.AlertCard) -> dict[str, str]:
    """Return what the cards begin with in a vet's words."""
    return _offered(card, _word(viewer, card))


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


def _begun(sent: sheets.Sheet | None, start: Mapping[str, Any]) -> sheets.Sheet:
    """Return a card with what was typed; a field that was not sent begins as it always does."""
    if sent is None:
        return sheets.Sheet(dict(start))
    return sheets.Sheet({**start, **sent.values}, sent.errors, sent.summary)


def _named(form: sheets.Sheet) -> sheets.Sheet:
    form.labels = {
        "next_step": gettext("Next step"),
        "by": gettext("By when"),
        "note": gettext("Note"),
        "reason": gettext("Reason"),
        "why": gettext("Reason"),
        "vet_said": gettext("What the vet said"),
        "until": gettext("Until"),
        "person": gettext("Whose it is"),
        "text": gettext("Comment"),
    }
    return form
