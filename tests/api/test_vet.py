"""Questions, clinical notes and the early end of an order, as clients write and read them."""

from typing import Any

import pytest

from tests import cast
from tests.api.asking import Asker
from tests.doors import counting
from tests.doors.scene import ahead, fresh

TEASEL = str(cast.ref("Teasel"))
QUESTIONS, NOTES = f"horses/{TEASEL}/questions/", f"horses/{TEASEL}/clinical-notes/"
TEXT = "May she be clipped before the frost?"


def asked(key: str = "maud", **raw: Any) -> dict[str, Any]:
    answer = Asker(key).post(QUESTIONS, {"text": TEXT, **raw})
    assert answer.status_code in (200, 201), answer.content
    found: dict[str, Any] = answer.json()
    return found


def test_a_question_is_told_with_its_asker_and_its_end(database: str) -> None:
    made = asked()
    assert (made["horse"], made["text"], made["state"], made["end"]) == (TEASEL, TEXT, "open", None)
    assert made["asked_by"] == {"id": str(cast.ref("maud")), "name": "Maud Pell"}
    raw = {"text": "Yes", "id": fresh("answer")}
    done = Asker("keziah").post(f"questions/{made['id']}/answer/", raw)
    assert done.status_code == 200
    end = done.json()["end"]
    assert (end["id"], end["how"], end["text"]) == (raw["id"], "answered", "Yes")
    assert end["by"]["name"] == "Dr Keziah Orme"
    assert Asker("maud").get(QUESTIONS).json()["results"] == [done.json()]


@pytest.mark.parametrize("state", ["open", "answered", "withdrawn"])
def test_a_list_is_narrowed_to_a_state_and_a_horse(database: str, state: str) -> None:
    refs = {each: asked(text=each)["id"] for each in ("open", "answered", "withdrawn")}
    Asker("keziah").post(f"questions/{refs['answered']}/answer/", {"text": "Yes"})
    Asker("maud").post(f"questions/{refs['withdrawn']}/withdraw/", {"reason": "Sold"})
    found = Asker("keziah").get(f"questions/?state={state}&horse={TEASEL}").json()["results"]
    assert [each["id"] for each in found] == [refs[state]]
    other = Asker("keziah").get(f"questions/?horse={cast.ref('Tansy')}").json()["results"]
    assert other == []


def test_a_question_sent_again_is_a_replay_and_nothing_is_written(database: str) -> None:
    first = asked(id=fresh("question"))
    before = counting.rows()
    again = Asker("maud").post(QUESTIONS, {"text": TEXT, "id": first["id"]})
    assert (again.status_code, again.json()) == (200, first)
    for key, text in (("maud", "May she be shod?"), ("tobias", TEXT)):
        clash = Asker(key).post(QUESTIONS, {"text": text, "id": first["id"]})
        assert clash.status_code == 409
        assert clash.json()["errors"][0]["field"] == "id"
    assert counting.rows() == before


def test_an_answer_sent_again_is_a_replay_and_another_is_refused(database: str) -> None:
    made = asked()
    way, keziah = f"questions/{made['id']}/answer/", Asker("keziah")
    first = keziah.post(way, {"text": "Yes", "id": fresh("answer")})
    before = counting.rows()
    assert keziah.post(way, {"text": "Yes", "id": fresh("answer")}).json() == first.json()
    assert keziah.post(way, {"text": "Yes"}).json() == first.json()
    assert keziah.post(way, {"text": "Yes", "id": fresh("other")}).status_code == 409
    assert keziah.post(way, {"text": "No"}).status_code == 409
    late = Asker("maud").post(f"questions/{made['id']}/withdraw/", {"reason": "Sold"})
    assert late.status_code == 409
    assert counting.rows() == before


@pytest.mark.parametrize(
    ("raw", "field"),
    [
        ({}, "text"),
        ({"text": "  "}, "text"),
        ({"text": "x" * 2001}, "text"),
        ({"text": "a\u0000b"}, "text"),
        ({"text": 5}, "text"),
        ({"text": "Well?", "id": "17"}, "id"),
        ({"text": "Well?", "urgent": True}, "urgent"),
    ],
)
def test_what_is_no_question_is_refused_at_its_field(
    database: str, raw: dict[str, Any], field: str
) -> None:
    before = counting.rows()
    answer = Asker("maud").post(QUESTIONS, raw)
    assert answer.status_code == 422
    assert [each["field"] for each in answer.json()["errors"]] == [field]
    assert counting.rows() == before


def test_a_note_is_written_corrected_and_both_stay(database: str) -> None:
    keziah, raw = Asker("keziah"), {"text": "Murmur, grade 2", "id": fresh("note")}
    first = keziah.post(NOTES, raw)
    assert first.status_code == 201
    again = keziah.post(NOTES, raw)
    assert (again.status_code, again.json()) == (200, first.json())
    assert keziah.post(NOTES, {**raw, "text": "Murmur"}).status_code == 409
    better = {"text": "Murmur, grade 3", "reason": "Misheard", "id": fresh("better")}
    way = f"clinical-notes/{first.json()['id']}/correct/"
    second = keziah.post(way, better)
    assert second.status_code == 201
    replay = keziah.post(way, better)
    assert (replay.status_code, replay.json()) == (200, second.json())
    newest, oldest = Asker("isolde").get(NOTES).json()["results"]
    assert (newest["supersedes"], newest["reason"]) == (oldest["id"], "Misheard")
    assert (oldest["superseded_by"], oldest["text"]) == (newest["id"], "Murmur, grade 2")
    late = keziah.post(way, {"text": "None", "reason": "Another horse"})
    assert late.status_code == 409
    assert keziah.post(f"clinical-notes/{newest['id']}/correct/", {"text": "x"}).status_code == 422


def test_an_order_is_ended_early_and_says_so(database: str) -> None:
    keziah, orders = Asker("keziah"), f"horses/{TEASEL}/vet-orders/"
    given = {"score_days": 7, "reason": "Feeding up", "until": ahead(days=30)}
    made = keziah.post(orders, given).json()
    assert made["ended"] is None
    way = f"vet-orders/{made['id']}/end/"
    done = keziah.post(way, {"reason": "Fit again"})
    assert done.status_code == 200
    assert done.json()["until"] == made["until"]
    assert done.json()["ended"]["reason"] == "Fit again"
    assert keziah.post(way, {"reason": "Fit again"}).json() == done.json()
    assert keziah.post(way, {"reason": "Sold"}).status_code == 409
    assert Asker("tobias").get(orders).json()["results"] == [done.json()]
    # An auditor sees the fact, and not the vet's words, unless the grant says so.
    (seen,) = Asker("hollis").get(orders).json()["results"]
    assert (seen["reason"], seen["ended"]["reason"]) == ("", "")
    assert seen["score_days"] == 7
