"""What passes between staff and vet, as the horse's page and the visit show it."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext

from scoring.pages import came, order_now, order_words
from scoring.queries import clinical_notes, questions, vet_orders
from scoring.queries.clinical_notes import NoteCard
from scoring.queries.questions import QuestionCard
from scoring.rules import question as rule
from scoring.rules import visit
from yards.pages import words
from yards.pages.tables import Link
from yards.queries.horses import HorseCard
from yards.rules import bidi
from yards.rules.roles import Verb, Viewer, may

SHOWN = 6


def of_horse(viewer: Viewer, card: HorseCard, zone: str, now: datetime) -> dict[str, Any]:
    """Return what a horse's page says besides its readings: orders in force, questions, notes."""
    ordered = vet_orders.list_vet_orders(viewer, card.ref)
    shown: dict[str, Any] = {"orders": orders(viewer, ordered.items, zone, now)}
    if may(viewer, Verb.READ_NOTES):
        open_now = questions.list_questions(viewer, questions.Wanted(card.ref, rule.OPEN))
        shown["questions"] = [question(viewer, each, zone) for each in open_now.items]
    if may(viewer, Verb.READ_CLINICAL):
        found = clinical_notes.list_notes(viewer, card.ref, size=SHOWN)
        shown |= {
            "reads_notes": True,
            "notes": notes(viewer, found.items, zone),
            "more_notes": bool(found.next),
        }
    return shown


def orders(
    viewer: Viewer, found: Sequence[vet_orders.VetOrderCard], zone: str, now: datetime
) -> list[dict[str, Any]]:
    """Return the orders that act now: of several that set one thing only the newest does."""
    return [
        order(viewer, each.card, zone, now, of=each.acts)
        for each in order_now.acting(found, now)
        if each.acts
    ]


def order(
    viewer: Viewer,
    card: vet_orders.VetOrderCard,
    zone: str,
    now: datetime,
    *,
    of: Collection[str] | None = None,
    back: str = "",
) -> dict[str, Any]:
    """Return one order in force, with how soon it ends where that is soon."""
    soon = card.ends_at <= visit.soon(now, zone)
    ends = may(viewer, Verb.OVERRIDE_BANDS)
    return {
        "id": card.id,
        "horse": card.horse,
        "horse_name": card.horse_name,
        "said": order_words.sentence(card, zone, order_now.parts(card) if of is None else of),
        "left": order_words.left(card, zone, now) if soon else "",
        "new": came.linked(reverse("scoring:vet_order", args=[card.horse]), back) if ends else "",
        "end": came.linked(reverse("scoring:end_order", args=[card.id]), back) if ends else "",
    }


def question(viewer: Viewer, card: QuestionCard, zone: str, *, back: str = "") -> dict[str, Any]:
    """Return one question, with what this viewer may do about it."""
    return {
        "id": card.id,
        "horse": card.horse,
        "horse_name": card.horse_name,
        "yard_name": card.yard_name,
        "text": card.text,
        "asked": gettext("{who}, {on}").format(
            who=bidi.isolated(card.asked_by.name), on=words.day(card.asked_at, zone)
        ),
        "links": question_links(viewer, card, back=back),
    }


def question_links(viewer: Viewer, card: QuestionCard, *, back: str = "") -> list[Link]:
    """Return what this viewer may do about a question: nothing once it has ended."""
    if card.end is not None:
        return []
    links = []
    if may(viewer, Verb.ANSWER_QUESTIONS):
        page = came.linked(reverse("scoring:answer", args=[card.id]), back)
        links.append(Link(page, gettext("Answer"), card.horse_name, go=True))
    own = card.asked_by.id == viewer.person and may(viewer, Verb.ASK_VET)
    if own or may(viewer, Verb.WITHDRAW_QUESTIONS):
        page = came.linked(reverse("scoring:withdraw", args=[card.id]), back)
        links.append(Link(page, gettext("Withdraw"), card.horse_name))
    return links


def ended(card: QuestionCard, zone: str) -> str:
    """Return who answered or withdrew a question, and when."""
    if card.end is None:
        return ""
    answered = card.end.how == rule.ANSWERED
    told = gettext("Answered by {who}, {on}") if answered else gettext("Withdrawn by {who}, {on}")
    return told.format(who=bidi.isolated(card.end.by.name), on=words.day(card.end.at, zone))


def notes(viewer: Viewer, found: Sequence[NoteCard], zone: str) -> list[dict[str, Any]]:
    """Return notes as they are read; only for those who may."""
    writes = may(viewer, Verb.WRITE_CLINICAL)
    return [
        {
            "id": each.id,
            "text": each.text,
            "written": gettext("{who}, {at}").format(
                who=bidi.isolated(each.written_by.name), at=words.at(each.written_at, zone)
            ),
            "struck": each.superseded_by is not None,
            "superseded_by": each.superseded_by,
            "supersedes": each.supersedes,
            "reason": each.reason,
            "correct": reverse("scoring:correct_note", args=[each.id])
            if writes and each.superseded_by is None
            else "",
        }
        for each in found
    ]
