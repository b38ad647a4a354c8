"""Questions to the vet: put once, answered once, withdrawn by who may, all of it in the ledger."""

from typing import Any
from uuid import UUID

import pytest
import uuid_utils.compat as uuid_utils

from scoring.actions import questions as actions
from scoring.models import Question, QuestionEnd
from scoring.queries import questions as queries
from tests import cast
from tests.actions.record import NOW, entries, racing, refused
from yards.actions import horses, merges
from yards.rules import errors

TEASEL, MARRAM = cast.ref("Teasel"), cast.ref("Marram")
ASKED = {"text": "May she be clipped before the frost?"}


def ask(inside: Any, key: str = "maud", **raw: Any) -> queries.QuestionCard:
    with inside(key) as viewer:
        return actions.ask(viewer, TEASEL, {**ASKED, **raw}, now=NOW)


def test_a_question_is_open_and_in_the_ledger(inside: Any) -> None:
    made = ask(inside)
    assert (made.state, made.asked_by.name, made.horse_name) == ("open", "Maud Pell", "Teasel")
    with inside("isolde"):
        [(verb, actor, at, said)] = entries(made.id)
    assert (verb, actor, at) == ("question.asked", f"person:{cast.ref('maud')}", NOW)
    assert said == {**ASKED, "horse": str(TEASEL)}


def test_the_same_again_is_a_replay_and_other_words_are_refused(inside: Any) -> None:
    ref = str(uuid_utils.uuid7())
    first, again = ask(inside, id=ref), ask(inside, id=ref)
    assert (again.id, again.replayed, first.replayed) == (first.id, True, False)
    told = refused(lambda: ask(inside, id=ref, text="May she be shod?"))
    assert told == (errors.Conflict, [("id", "same_id_other_content")])
    with inside("isolde"):
        assert Question.objects.count() == 1


def test_the_vet_answers_once(inside: Any) -> None:
    made = ask(inside)
    with inside("keziah") as viewer:
        told = actions.answer(viewer, made.id, {"text": "Yes"}, now=NOW)
    assert told.end is not None
    assert (told.state, told.end.text, told.end.by.name) == ("answered", "Yes", "Dr Keziah Orme")
    with inside("keziah") as viewer:
        assert actions.answer(viewer, made.id, {"text": "Yes"}, now=NOW).replayed
        again = refused(lambda: actions.answer(viewer, made.id, {"text": "No"}, now=NOW))
    assert again == (errors.Conflict, [("", "question_has_ended")])
    with inside("isolde"):
        assert [each[0] for each in entries(made.id)] == ["question.asked", "question.answered"]


def test_of_answers_that_race_one_stands(inside: Any) -> None:
    made = ask(inside)

    def answer(viewer: Any) -> str:
        try:
            text = f"Yes, says {uuid_utils.uuid7()}"
            return actions.answer(viewer, made.id, {"text": text}, now=NOW).state
        except errors.Conflict:
            return "refused"

    assert sorted(racing("keziah", answer)) == ["answered", *["refused"] * 7]
    with inside("isolde"):
        assert QuestionEnd.objects.count() == 1


@pytest.mark.parametrize("key", ["maud", "isolde"])
def test_its_asker_or_a_coordinator_withdraws_it_with_a_reason(inside: Any, key: str) -> None:
    made = ask(inside)
    with inside(key) as viewer:
        bare = refused(lambda: actions.withdraw(viewer, made.id, {}, now=NOW))
        assert bare == (errors.Invalid, [("reason", "required")])
        told = actions.withdraw(viewer, made.id, {"reason": "Sold"}, now=NOW)
    assert told.state == "withdrawn"
    with inside("isolde"):
        assert entries(made.id)[-1][0] == "question.withdrawn"


def test_another_assessor_does_not_withdraw_it_nor_does_the_vet(inside: Any) -> None:
    made = ask(inside)
    assert withdrawn(inside, "tobias", made.id) == (errors.NotAllowed, [])
    assert withdrawn(inside, "keziah", made.id) == (errors.NotAllowed, [])


def withdrawn(inside: Any, key: str, ref: UUID) -> Any:
    with inside(key) as viewer:
        return refused(lambda: actions.withdraw(viewer, ref, {"reason": "Sold"}, now=NOW))


def test_what_was_withdrawn_is_not_answered(inside: Any) -> None:
    made = ask(inside)
    with inside("maud") as viewer:
        actions.withdraw(viewer, made.id, {"reason": "Sold"}, now=NOW)
    with inside("keziah") as viewer:
        told = refused(lambda: actions.answer(viewer, made.id, {"text": "Yes"}, now=NOW))
    assert told == (errors.Conflict, [("", "question_has_ended")])


def test_an_id_that_ended_another_question_ends_no_second(inside: Any) -> None:
    one, two = ask(inside), ask(inside, text="And shod?")
    raw = {"id": str(uuid_utils.uuid7()), "text": "Yes"}
    with inside("keziah") as viewer:
        actions.answer(viewer, one.id, raw, now=NOW)
        told = refused(lambda: actions.answer(viewer, two.id, raw, now=NOW))
    assert told == (errors.Conflict, [("id", "same_id_other_content")])


def test_a_horse_out_of_reach_is_no_horse(inside: Any) -> None:
    with inside("maud") as viewer:
        told = refused(lambda: actions.ask(viewer, MARRAM, ASKED, now=NOW))
    assert told == (errors.NotFound, [])


def test_a_question_about_an_unknown_animal_goes_with_it(inside: Any) -> None:
    with inside("isolde") as viewer:
        stray = {"name": "Stray", "species": "horse", "yard": str(cast.ref("Top Barn"))}
        made = horses.register_horse(viewer, {**stray, "is_unknown": True}, now=NOW)
        asked = actions.ask(viewer, made.ref, ASKED, now=NOW)
        merges.merge_horse(viewer, made.ref, {"into": str(TEASEL)}, now=NOW)
        found = queries.list_questions(viewer, queries.Wanted(horse=TEASEL))
        told = refused(lambda: actions.ask(viewer, made.ref, ASKED, now=NOW))
    assert [(each.id, each.horse_name) for each in found.items] == [(asked.id, "Teasel")]
    assert told == (errors.Conflict, [("", "merged_into_another")])
    with inside("keziah") as viewer:
        assert actions.answer(viewer, asked.id, {"text": "Yes"}, now=NOW).state == "answered"
