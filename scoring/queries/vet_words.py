"""What vets have said of horses since a time: answers to questions, and orders.

Clinical notes are none of it: fewer may read them than may read an alert.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from scoring.access import vet
from scoring.models import QuestionEnd
from scoring.queries import vet_orders
from scoring.queries.vet_orders import VetOrderCard
from scoring.rules import question as rule
from yards.access import doors
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class Word:
    """A vet's answer to a question, or an order."""

    by: str
    at: datetime
    question: str = ""
    answer: str = ""
    order: VetOrderCard | None = None


def spoken(viewer: Viewer, since: Mapping[UUID, datetime]) -> dict[UUID, list[Word]]:
    """Return by horse what vets have said since each one's time, newest first, in three queries.

    Of questions about an animal that turned out to be one of these too.
    """
    doors.require(viewer, Verb.READ_READINGS)
    if not since:
        return {}
    found: dict[UUID, list[Word]] = {}
    for horse, word in (*_answers(viewer, since), *_orders(viewer, since)):
        if word.at >= since[horse]:
            found.setdefault(horse, []).append(word)
    for words in found.values():
        words.sort(key=lambda word: word.at, reverse=True)
    return found


def last(words: Mapping[UUID, list[Word]], horse: UUID, since: datetime) -> Word | None:
    """Return the newest word on a horse since a time, if there is any."""
    return next((each for each in words.get(horse, ()) if each.at >= since), None)


def _answers(viewer: Viewer, since: Mapping[UUID, datetime]) -> Iterable[tuple[UUID, Word]]:
    asked = vet.questions_in_scope(viewer).filter(
        Q(horse__ref__in=since) | Q(horse__merged_into__ref__in=since)
    )
    rows = QuestionEnd.objects.filter(
        how=rule.ANSWERED, question__in=asked, ended_at__gte=min(since.values())
    )
    for row in rows.select_related("question__horse__merged_into", "ended_by"):
        animal = row.question.horse.merged_into or row.question.horse
        yield animal.ref, Word(row.ended_by.name, row.ended_at, row.question.text, row.text)


def _orders(viewer: Viewer, since: Mapping[UUID, datetime]) -> Iterable[tuple[UUID, Word]]:
    rows = vet.orders_in_scope(viewer).filter(
        horse__ref__in=since, given_at__gte=min(since.values())
    )
    for card in vet_orders.cards_of(list(vet_orders.joined(rows))):
        yield card.horse, Word(card.given_by_name, card.given_at, order=card)
