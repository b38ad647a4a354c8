"""Questions to the vet and vets' orders as tables."""

from collections.abc import Sequence
from datetime import datetime

from django.urls import reverse
from django.utils.translation import gettext

from scoring.pages import order_words, vet_shown
from scoring.queries import questions as asking
from scoring.queries.questions import QuestionCard
from scoring.queries.vet_orders import VetOrderCard
from scoring.rules import question as rule
from yards.pages import words
from yards.pages.tables import Cell, Link, Row, Table
from yards.queries.horses import HorseCard
from yards.rules import horse
from yards.rules.roles import Verb, Viewer, may

MANY = 12


def asked(viewer: Viewer, card: HorseCard, zone: str) -> list[tuple[str, Table, str]]:
    """Return the list of questions with its heading and its page; none for who may read none."""
    if not may(viewer, Verb.READ_NOTES):
        return []
    found = asking.list_questions(viewer, asking.Wanted(card.ref), size=MANY)
    more = reverse("scoring:questions", args=[card.ref]) if found.next else ""
    table = questions(viewer, found.items, zone, hint=_to_ask(viewer, card))
    return [(gettext("Questions to the vet"), table, more)]


def _to_ask(viewer: Viewer, card: HorseCard) -> str:
    if card.status not in horse.HERE or not may(viewer, Verb.ASK_VET):
        return ""
    return gettext("What can wait for the next visit is asked by “Ask the vet”, above.")


def orders(viewer: Viewer, found: Sequence[VetOrderCard], zone: str, now: datetime) -> Table:
    """Return what vets have set; orders that have ended are struck."""
    return Table(
        caption=gettext("Vet's orders"),
        columns=(gettext("Given"), gettext("What"), gettext("Why"), gettext("Until")),
        rows=[_order(viewer, each, zone, now) for each in found],
        empty=gettext("No orders by a vet"),
    )


def _order(viewer: Viewer, card: VetOrderCard, zone: str, now: datetime) -> Row:
    links = []
    if card.in_force(now) and may(viewer, Verb.OVERRIDE_BANDS):
        page = reverse("scoring:end_order", args=[card.id])
        links.append(Link(page, gettext("End early"), order_words.what(card)))
    return Row(
        (
            Cell(words.day(card.given_at, zone), card.given_by_name),
            Cell(order_words.what(card)),
            Cell(card.reason),
            Cell(words.day(card.ends_at, zone), order_words.ended(card, zone)),
        ),
        links,
        struck=not card.in_force(now),
    )


def questions(
    viewer: Viewer, found: Sequence[QuestionCard], zone: str, *, older: str = "", hint: str = ""
) -> Table:
    """Return questions with what became of each; withdrawn ones are struck.

    ``hint`` says beside an empty table how a question is asked.
    """
    return Table(
        caption=gettext("Questions to the vet"),
        columns=(gettext("Question"), gettext("Asked"), gettext("What became of it")),
        rows=[_question(viewer, each, zone) for each in found],
        empty=gettext("No questions to the vet"),
        empty_hint=hint,
        older=older,
    )


def _question(viewer: Viewer, card: QuestionCard, zone: str) -> Row:
    end = card.end
    said = gettext("Open") if end is None else end.text
    beside = "" if end is None else vet_shown.ended(card, zone)
    return Row(
        (
            Cell(card.text),
            Cell(words.day(card.asked_at, zone), card.asked_by.name),
            Cell(said, beside),
        ),
        vet_shown.question_links(viewer, card),
        struck=card.state == rule.WITHDRAWN,
    )
