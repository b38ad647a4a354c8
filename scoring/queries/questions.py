"""Questions to the vet as they are told: what was asked, by whom, and how each came to its end."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Exists, OuterRef, Q, QuerySet

from scoring.access import vet
from scoring.models import Question, QuestionEnd
from scoring.rules import question as rule
from yards.access import doors
from yards.models import Yard
from yards.queries import paging
from yards.queries.people import PersonName
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class EndCard:
    """How a question came to its end: the vet's answer, or why it was withdrawn."""

    id: UUID
    how: str
    text: str
    by: PersonName
    at: datetime


@dataclass(frozen=True, slots=True)
class QuestionCard:
    """A question, with the horse that it is about, and its end if it has come to one.

    ``told``: how many vets were written to as it was put, None where that is not asked.
    """

    id: UUID
    horse: UUID
    horse_name: str
    yard_name: str
    text: str
    asked_by: PersonName
    asked_at: datetime
    end: EndCard | None
    replayed: bool = False
    told: int | None = None

    @property
    def state(self) -> str:
        """Open, answered or withdrawn."""
        return rule.OPEN if self.end is None else self.end.how


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a list of questions is narrowed to."""

    horse: UUID | None = None
    state: str = ""


def list_questions(
    viewer: Viewer, wanted: Wanted, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[QuestionCard]:
    """Return questions, newest first; of one horse those of animals that turned out to be it too.

    Raises NotFound for a horse out of scope, and NotAllowed.
    """
    rows = vet.questions_in_scope(viewer)
    if wanted.horse is not None:
        subject = doors.horse_for_read(viewer, wanted.horse)
        rows = rows.filter(Q(horse_id=subject.id) | Q(horse__merged_into_id=subject.id))
    doors.require(viewer, Verb.READ_NOTES)
    return paging.page_of(
        viewer,
        _in_state(rows, wanted.state),
        cards_of,
        name=f"questions of {wanted.horse}" if wanted.horse else "questions",
        cursor=cursor,
        size=size,
    )


def open_questions(viewer: Viewer, *, yard: Yard | None, most: int) -> list[QuestionCard]:
    """Return what waits for the vet in scope, or in one yard of it, the longest waiting first.

    Two queries.
    """
    doors.require(viewer, Verb.READ_NOTES)
    rows = _in_state(vet.questions_in_scope(viewer), rule.OPEN)
    if yard is not None:
        rows = rows.filter(Q(horse__yard=yard) | Q(horse__merged_into__yard=yard))
    return cards_of(list(rows.order_by("id")[:most]))


def _in_state(rows: QuerySet[Question], state: str) -> QuerySet[Question]:
    ends = QuestionEnd.objects.filter(question_id=OuterRef("id"))
    if state == rule.OPEN:
        rows = rows.filter(~Exists(ends))
    elif state:
        rows = rows.filter(Exists(ends.filter(how=state)))
    return rows.select_related("horse__yard", "horse__merged_into__yard", "asked_by")


def cards_of(rows: Sequence[Question]) -> list[QuestionCard]:
    """Return rows, with horse, yard and asker joined, as their cards: one query for their ends."""
    ends = QuestionEnd.objects.filter(question_id__in=[each.id for each in rows])
    held = {each.question_id: each for each in ends.select_related("ended_by")}
    return [_card(row, held.get(row.id)) for row in rows]


def card(ref: UUID) -> QuestionCard:
    """Return one question that the caller has found to be within reach."""
    return cards_of([_in_state(Question.objects.filter(ref=ref), "").get()])[0]


def get_question(viewer: Viewer, ref: UUID) -> QuestionCard:
    """Return one question; raises NotFound or NotAllowed."""
    vet.question_for_read(viewer, ref)
    doors.require(viewer, Verb.READ_NOTES)
    return card(ref)


def _card(row: Question, end: QuestionEnd | None) -> QuestionCard:
    animal = row.horse.merged_into or row.horse
    return QuestionCard(
        id=row.ref,
        horse=animal.ref,
        horse_name=animal.name,
        yard_name=animal.yard.name,
        text=row.text,
        asked_by=_person(row.asked_by),
        asked_at=row.asked_at,
        end=None
        if end is None
        else EndCard(end.ref, end.how, end.text, _person(end.ended_by), end.ended_at),
    )


def _person(user: Any) -> PersonName:
    return PersonName(user.id, user.name)
