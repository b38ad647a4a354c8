"""Asking the vet about a horse, answering, and withdrawing what need not be answered any more."""

from dataclasses import replace
from datetime import datetime
from uuid import UUID

from scoring.access import vet
from scoring.actions import notices
from scoring.models import Question, QuestionEnd
from scoring.queries import questions as queries
from scoring.queries import recipients
from scoring.rules import question as rule
from yards.access import doors
from yards.actions import horses, once
from yards.models import Horse
from yards.rules import daytime, errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

ASKED, ANSWERED, WITHDRAWN = "question.asked", "question.answered", "question.withdrawn"


def ask(viewer: Viewer, horse: UUID, raw: object, *, now: datetime) -> queries.QuestionCard:
    """Put a question to the vet about a horse, who is told by mail; the same again is a replay.

    Raises NotFound, NotAllowed, Invalid, or Conflict for a clash of ids or a merged horse.
    """
    subject = doors.horse_for_write(viewer, horse, Verb.ASK_VET)
    said = rule.check(raw)
    content = {**said.content(), "horse": horse}
    first = Question.objects.filter(ref=said.id).first() if said.id is not None else None
    if first is None:
        horses.require_here(subject)
        row, is_new = once.insert(
            Question(
                organisation_id=viewer.organisation,
                ref=once.new_ref(said.id),
                horse=subject,
                text=said.text,
                asked_by_id=doors.person_of(viewer),
                asked_at=now,
            )
        )
        if is_new:
            once.made(viewer, verb=ASKED, target=("question", row.ref), content=content, at=now)
            return replace(queries.card(row.ref), told=_tell(viewer, subject, row, now))
        first = row
    once.replayed(viewer, verb=ASKED, ref=first.ref, content=content)
    return replace(queries.card(first.ref), replayed=True)


def _tell(viewer: Viewer, subject: Horse, asked: Question, now: datetime) -> int:
    """Write to the vets whose grants cover the horse that it waits; return to how many."""
    yard = subject.yard
    at = daytime.next_waking(now, yard.time_zone, yard.quiet_from, yard.quiet_to)
    messages = [
        notices.Message(
            kind=notices.QUESTION,
            person=reach.person,
            due_at=at,
            about=(str(asked.ref),),
            yard=yard.id,
            params={"question": str(asked.ref)},
        )
        for reach in recipients.reaches(viewer, roles=recipients.TOLD[recipients.QUESTION], now=now)
        if reach.covers(horse=subject.id, yard=yard.id)
    ]
    notices.write(viewer, messages, now=now)
    return len(messages)


def answer(viewer: Viewer, ref: UUID, raw: object, *, now: datetime) -> queries.QuestionCard:
    """Answer an open question, once; the same answer again is a replay.

    Raises NotFound, NotAllowed, Invalid, or Conflict for one that has come to its end.
    """
    asked = vet.question_for_read(viewer, ref)
    doors.require(viewer, Verb.ANSWER_QUESTIONS)
    said = rule.check(raw)
    return _ended(viewer, asked, said, how=rule.ANSWERED, verb=ANSWERED, now=now)


def withdraw(viewer: Viewer, ref: UUID, raw: object, *, now: datetime) -> queries.QuestionCard:
    """Withdraw an open question with a ``reason``: one's own, or anybody's for a coordinator.

    Raises NotFound, NotAllowed, Invalid, or Conflict for one that has come to its end.
    """
    asked = vet.question_for_read(viewer, ref)
    doors.require(viewer, Verb.ASK_VET)
    if asked.asked_by_id != viewer.person:
        doors.require(viewer, Verb.WITHDRAW_QUESTIONS)
    said = rule.check(raw, name="reason")
    return _ended(viewer, asked, said, how=rule.WITHDRAWN, verb=WITHDRAWN, now=now)


def _ended(
    viewer: Viewer, asked: Question, said: rule.Said, *, how: str, verb: str, now: datetime
) -> queries.QuestionCard:
    # Of two who end it at once the second waits here, and finds that it has come to its end.
    Horse.objects.select_for_update(no_key=True).get(id=asked.horse_id)
    first = QuestionEnd.objects.filter(question_id=asked.id).first()
    if first is not None:
        same = (first.how, first.text, first.ended_by_id) == (how, said.text, viewer.person)
        if not same or said.id not in (None, first.ref):
            raise errors.Conflict(FieldError("", "question_has_ended"))
        return replace(queries.card(asked.ref), replayed=True)
    _, is_new = once.insert(
        QuestionEnd(
            organisation_id=viewer.organisation,
            ref=once.new_ref(said.id),
            question=asked,
            how=how,
            text=said.text,
            ended_by_id=doors.person_of(viewer),
            ended_at=now,
        )
    )
    if not is_new:  # the id is another question's
        raise errors.Conflict(FieldError("id", "same_id_other_content"))
    content = {**said.content(), "question": asked.ref}
    once.made(viewer, verb=verb, target=("question", asked.ref), content=content, at=now)
    return queries.card(asked.ref)
