"""What somebody has just saved of a horse, or between staff and vet, said on the page after it.

The address names what was saved; it is read through the same doors as anywhere else, and said to
whoever saved it, for as long as it is news.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext

from scoring.pages import order_words
from scoring.queries import clinical_notes, questions, vet_orders
from yards.access import doors
from yards.pages import horse_done, news, tables, words
from yards.queries.horses import HorseCard
from yards.rules import bidi, errors
from yards.rules.roles import Verb, Viewer, may

ORDER, ORDER_ENDED, ANSWER, ASKED, UNTOLD, WITHDRAWN, NOTE = (
    *("order", "order_ended", "answer", "question"),
    *("question_untold", "withdrawal", "note"),
)


@dataclass(frozen=True, slots=True)
class Done:
    """What was saved, in words, and of which horse; whether between staff and vet."""

    said: str
    horse: UUID
    is_of_the_visit: bool


_Found = tuple[UUID, datetime, UUID, str]


def of(request: HttpRequest, viewer: Viewer, zone: str, *, now: datetime) -> Done | None:
    """Return what the viewer has just saved, None where the address names nothing of theirs."""
    named = news.named(request, _KINDS)
    if named is None:
        return None
    kind, ref = named
    try:
        found = _KINDS[kind](viewer, ref, zone)
    except errors.Refused:
        return None
    if found is None:
        return None
    by, at, horse, said = found
    if by != viewer.person or not news.is_news(at, now):
        return None
    told = gettext("Saved at {at}. {what}")
    clock = date_format(at.astimezone(ZoneInfo(zone)), "H:i")
    return Done(told.format(at=clock, what=said), horse, kind not in _HORSE)


def shown(
    request: HttpRequest, viewer: Viewer, card: HorseCard, zone: str, *, now: datetime
) -> dict[str, Any]:
    """Return it for a horse's own page, with the way to the horse on the visit."""
    found = of(request, viewer, zone, now=now)
    if found is None or not found.is_of_the_visit or not may(viewer, Verb.READ_VISIT):
        return {"done": found}
    return {"done": found, "done_way": on_the_visit(card)}


def on_the_visit(card: HorseCard) -> str:
    """Return the way to a horse on the visit."""
    visit = reverse("scoring:visit") + tables.query(yard=str(card.yard.ref))
    return f"{visit}#horse-{card.ref}"


def _order(viewer: Viewer, ref: UUID, zone: str) -> _Found | None:
    card = vet_orders.get_vet_order(viewer, ref)
    told = gettext("In force now for {name}: {what}, until {until}.")
    said = told.format(
        name=bidi.isolated(card.horse_name),
        what=order_words.what(card),
        until=words.day(card.until, zone),
    )
    return card.given_by, card.given_at, card.horse, said


def _order_ended(viewer: Viewer, ref: UUID, zone: str) -> _Found | None:
    card = vet_orders.get_vet_order(viewer, ref)
    if card.ended is None:
        return None
    told = gettext("The order for {name} has ended: {what}.")
    said = told.format(name=bidi.isolated(card.horse_name), what=order_words.what(card))
    return card.ended.by.id, card.ended.at, card.horse, said


def _question(viewer: Viewer, ref: UUID, zone: str) -> _Found | None:
    card = questions.get_question(viewer, ref)
    told = gettext("Your question about {name} waits for the vet, who is told of it by mail.")
    said = told.format(name=bidi.isolated(card.horse_name))
    return card.asked_by.id, card.asked_at, card.horse, said


def _untold(viewer: Viewer, ref: UUID, zone: str) -> _Found | None:
    card = questions.get_question(viewer, ref)
    told = gettext(
        "Your question about {name} waits for the next visit. Nobody was told by mail: no vet can "
        "sign in for this horse. Ring the vet if it cannot wait."
    )
    said = told.format(name=bidi.isolated(card.horse_name))
    return card.asked_by.id, card.asked_at, card.horse, said


def _answer(viewer: Viewer, ref: UUID, zone: str) -> _Found | None:
    told = gettext("Your answer about {name} stands, for staff to read: “{text}”")
    return _end(viewer, ref, told)


def _withdrawal(viewer: Viewer, ref: UUID, zone: str) -> _Found | None:
    return _end(viewer, ref, gettext("The question about {name} is withdrawn: {text}"))


def _end(viewer: Viewer, ref: UUID, told: str) -> _Found | None:
    card = questions.get_question(viewer, ref)
    if card.end is None:
        return None
    said = told.format(name=bidi.isolated(card.horse_name), text=bidi.isolated(card.end.text))
    return card.end.by.id, card.end.at, card.horse, said


def _note(viewer: Viewer, ref: UUID, zone: str) -> _Found | None:
    card = clinical_notes.get_note(viewer, ref)
    return card.written_by.id, card.written_at, card.horse, gettext("The clinical note is kept.")


def _done_to(kind: str, viewer: Viewer, ref: UUID, zone: str) -> _Found | None:
    made = horse_done.of(viewer, kind, ref)
    return None if made is None else (doors.person_of(viewer), made.at, ref, made.said)


_HORSE = (horse_done.ADDED, horse_done.MOVED, horse_done.CHANGED)
_KINDS: Mapping[str, Callable[[Viewer, UUID, str], _Found | None]] = {
    **{kind: partial(_done_to, kind) for kind in _HORSE},
    ORDER: _order,
    ORDER_ENDED: _order_ended,
    ANSWER: _answer,
    ASKED: _question,
    UNTOLD: _untold,
    WITHDRAWN: _withdrawal,
    NOTE: _note,
}
