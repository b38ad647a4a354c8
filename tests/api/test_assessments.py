"""Assessments over REST: what is answered, what is kept, and what a repeat is told."""

from typing import Any

import pytest
import uuid_utils.compat as uuid_utils

from tests import cast
from tests.api.asking import Asker
from tests.doors import counting
from tests.doors.scene import FAT, ago, assessment, weighing
from tests.outside import COMMON_PRACTICE, outside

TEASEL, WAGTAIL = str(cast.ref("Teasel")), str(cast.ref("Wagtail"))


def _sent(**changes: Any) -> dict[str, Any]:
    return assessment(TEASEL, id=str(uuid_utils.uuid7()), **changes)


def test_the_answer_says_what_it_comes_to(database: str) -> None:
    """3.5, 5 and 4 make 12.5 / 3 = 4.17 by arithmetic, and a 4 to the nearest half."""
    tobias = Asker("tobias")
    sent = _sent(regions=FAT, by_eye="3.0", coat="winter", rug_off=True, held_by="Maud Pell")
    made = tobias.post("assessments/", sent)
    assert made.status_code == 201
    said = made.json()
    assert (said["overall"], said["overall_nearest_half"]) == ("4.17", "4.0")
    assert said["fattest_regions"] == ["back_and_ribs"]
    assert said["place"] == "above"
    assert set(said["band"]) == {"low", "aim", "high"}
    assert said["assessor"]["name"] == "Tobias Wren"
    assert said["recorded_by"] == {"person": str(cast.ref("tobias"))}
    assert {name: said[name] for name in ("regions", "by_eye", "coat", "rug_off", "held_by")} == {
        name: sent[name] for name in ("regions", "by_eye", "coat", "rug_off", "held_by")
    }
    assert said["regions_used"] == said["regions"]
    assert len(said["receipt"]["leaf"]) == 64
    assert tobias.get(f"assessments/{sent['id']}/").json() == said
    assert tobias.get("assessments/").json()["results"] == [said]


@outside(
    "a marked fat pocket behind the shoulder adds half a point",
    source="people who score horses",
    status=COMMON_PRACTICE,
)
def test_a_marked_fat_pocket_adds_half_a_score_to_back_and_ribs(database: str) -> None:
    """Common practice, no published source; capped at 5 is our reading."""
    regions = {"neck_and_shoulder": "3", "back_and_ribs": 3, "hindquarters": "3.0"}
    said = Asker("tobias").post("assessments/", _sent(regions=regions, fat_pocket="marked")).json()
    assert said["regions"]["back_and_ribs"] == "3.0"
    assert said["regions_used"]["back_and_ribs"] == "3.5"
    assert (said["overall"], said["fattest_regions"]) == ("3.17", ["back_and_ribs"])
    capped = {**regions, "back_and_ribs": "5.0"}
    said = Asker("tobias").post("assessments/", _sent(regions=capped, fat_pocket="marked")).json()
    assert said["regions_used"]["back_and_ribs"] == "5.0"


def test_a_region_not_safe_to_palpate_leaves_no_overall(database: str) -> None:
    regions = {"neck_and_shoulder": "3.0", "back_and_ribs": "3.0", "hindquarters": None}
    said = (
        Asker("tobias")
        .post("assessments/", _sent(regions=regions, not_safe=["hindquarters"]))
        .json()
    )
    assert (said["overall"], said["not_safe"], said["place"]) == (None, ["hindquarters"], None)


def test_a_donkey_is_scored_as_a_whole(database: str) -> None:
    sent = {
        "horse": WAGTAIL,
        "taken_at": ago(hours=1),
        "scale": "donkey",
        "manner": "palpated",
        "overall": "3.5",
    }
    said = Asker("tobias").post("assessments/", sent).json()
    assert (said["overall"], said["overall_nearest_half"], said["regions"]) == ("3.50", "3.5", None)


@pytest.mark.parametrize(
    "same",
    [
        {},
        {"sent_at": "later"},
        {"regions": {"neck_and_shoulder": 3, "back_and_ribs": "3.50", "hindquarters": 3.0}},
        {"fat_pocket": "none", "not_safe": [], "note": "", "crest": None, "weighing": None},
        {"taken_at": "2026-11-01T11:40:00+02:00"},
    ],
    ids=["as it was", "sent again later", "numbers by value", "defaults", "time by instant"],
)
def test_a_repeat_is_answered_as_the_first_time_was(database: str, same: dict[str, Any]) -> None:
    tobias = Asker("tobias")
    sent = _sent(taken_at="2026-11-01T09:40:00Z", danger_signs=["not_eating"])
    first = tobias.post("assessments/", sent)
    before = counting.rows()
    # A reading in between, which changes the standing and the alerts.
    again = tobias.post("assessments/", {**sent, **same, **_later(same)})
    assert (first.status_code, again.status_code) == (201, 200)
    assert again.json() == first.json()
    assert counting.rows() == before


def _later(same: dict[str, Any]) -> dict[str, Any]:
    return {"sent_at": ago(seconds=1)} if "sent_at" in same else {}


def test_a_repeat_after_other_readings_is_still_the_first_answer(database: str) -> None:
    tobias, keziah = Asker("tobias"), Asker("keziah")
    sent = _sent(danger_signs=["not_eating"])
    first = tobias.post("assessments/", sent).json()
    for alert in first["alerts"]:
        keziah.post(f"alerts/{alert['id']}/acknowledge/", {"next_step": "Looked at"})
    keziah.post("assessments/", _sent(danger_signs=["not_eating"]))
    again = tobias.post("assessments/", sent)
    assert again.status_code == 200
    assert again.json()["alerts"] == first["alerts"]
    assert again.json() == first


@pytest.mark.parametrize(
    "other",
    [{"manner": "visual"}, {"note": "Restless"}, {"fat_pocket": "slight"}, {"crest": "2.0"}],
)
def test_the_same_id_with_other_content_is_a_conflict(database: str, other: dict[str, Any]) -> None:
    tobias, sent = Asker("tobias"), _sent()
    assert tobias.post("assessments/", sent).status_code == 201
    before = counting.rows()
    clash = tobias.post("assessments/", {**sent, **other})
    assert clash.status_code == 409
    assert clash.json()["errors"][0]["field"] == "id"
    assert counting.rows() == before


def test_the_same_content_from_another_hand_is_a_conflict(database: str) -> None:
    sent = _sent()
    assert Asker("tobias").post("assessments/", sent).status_code == 201
    assert Asker("keziah").post("assessments/", sent).status_code == 409


def test_a_slow_clock_is_put_right_by_when_it_was_sent(database: str) -> None:
    """The device is two hours behind: it sends at what it takes for two hours ago."""
    sent = _sent(taken_at=ago(hours=3), sent_at=ago(hours=2))
    said = Asker("tobias").post("assessments/", sent).json()
    assert said["corrected_taken_at"] > said["taken_at"]


def test_a_correction_supersedes_and_both_stay(database: str) -> None:
    tobias, isolde, sent = Asker("tobias"), Asker("isolde"), _sent(regions=FAT)
    first = tobias.post("assessments/", sent).json()
    same = {**sent, "id": str(uuid_utils.uuid7()), "reason": "The sheet was misread"}
    none = isolde.post(f"assessments/{first['id']}/correct/", same)
    assert (none.status_code, none.json()["errors"][0]["field"]) == (422, "regions")
    better = _sent(reason="The sheet was misread")
    made = isolde.post(f"assessments/{first['id']}/correct/", better)
    assert made.status_code == 201
    assert (made.json()["supersedes"], made.json()["reason"]) == (first["id"], better["reason"])
    assert made.json()["assessor"] == first["assessor"]
    assert made.json()["recorded_by"] == {"person": str(cast.ref("isolde"))}
    old = tobias.get(f"assessments/{first['id']}/").json()
    assert (old["superseded_by"], old["overall"]) == (better["id"], "4.17")
    again = isolde.post(f"assessments/{first['id']}/correct/", better)
    assert again.status_code == 200
    late = tobias.post(f"assessments/{first['id']}/correct/", _sent(reason="Once more"))
    assert late.status_code == 409
    bare = tobias.post(f"assessments/{better['id']}/correct/", _sent())
    assert bare.status_code == 422
    assert bare.json()["errors"][0]["field"] == "reason"


def test_a_phone_reads_back_its_own_and_nothing_else(database: str) -> None:
    device, tobias = Asker("device"), Asker("tobias")
    own = device.post("assessments/", _sent()).json()
    other = tobias.post("assessments/", _sent()).json()
    assert [each["id"] for each in device.get("assessments/").json()["results"]] == [own["id"]]
    assert device.get(f"assessments/{own['id']}/").status_code == 200
    assert device.get(f"assessments/{other['id']}/").status_code == 404
    assert own["assessor"]["name"] == "Maud Pell"


def test_a_weight_taken_with_it_is_kept_and_listed(database: str) -> None:
    isolde = Asker("isolde")
    tape = isolde.post("instruments/", {"kind": "weigh_tape", "label": "Blue tape"}).json()
    weighed = {"method": "weigh_tape", "instrument": tape["id"], "weight_kg": 471}
    said = isolde.post("assessments/", _sent(weighing=weighed)).json()
    assert said["weighing"]["weight_kg"] == "471.0"
    assert said["weighing"]["instrument"] == tape["id"]
    listed = isolde.get("weighings/").json()["results"]
    assert [each["id"] for each in listed] == [said["weighing"]["id"]]


def test_a_list_is_narrowed_by_its_filters(database: str) -> None:
    tobias, keziah = Asker("tobias"), Asker("keziah")
    early = tobias.post("assessments/", _sent(taken_at="2026-03-01T10:00:00Z")).json()
    marram = assessment(str(cast.ref("Marram")), taken_at="2026-06-01T10:00:00Z")
    late = keziah.post("assessments/", marram).json()

    def found(query: str) -> set[str]:
        return {each["id"] for each in tobias.get(f"assessments/?{query}").json()["results"]}

    assert found(f"horse={TEASEL}") == {early["id"]}
    assert found(f"yard={cast.ref('Nether Paddocks')}") == {late["id"]}
    assert found("from=2026-04-01") == {late["id"]}
    assert found("to=2026-04-01T00:00:00%2B01:00") == {early["id"]}
    assert found(f"assessor={late['assessor']['id']}") == {late["id"]}
    assert Asker("maud").get(f"assessments/?horse={cast.ref('Marram')}").json()["results"] == []


def test_a_weighing_by_itself_is_recorded_repeated_and_corrected(database: str) -> None:
    tobias = Asker("tobias")
    sent = weighing(TEASEL, id=str(uuid_utils.uuid7()))
    first = tobias.post("weighings/", sent)
    again = tobias.post("weighings/", {**sent, "weight_kg": 471})
    clash = tobias.post("weighings/", {**sent, "weight_kg": "472.0"})
    assert (first.status_code, again.status_code, clash.status_code) == (201, 200, 409)
    assert again.json() == first.json()
    same = {**sent, "id": str(uuid_utils.uuid7()), "reason": "Wrong tape"}
    none = tobias.post(f"weighings/{sent['id']}/correct/", same)
    assert (none.status_code, none.json()["errors"][0]["field"]) == (422, "weight_kg")
    better = weighing(TEASEL, reason="Wrong tape", weight_kg="465.5")
    made = tobias.post(f"weighings/{sent['id']}/correct/", better)
    assert made.status_code == 201
    assert made.json()["supersedes"] == sent["id"]
    assert tobias.get(f"weighings/{sent['id']}/").json()["superseded_by"] == made.json()["id"]
    late = tobias.post(f"weighings/{sent['id']}/correct/", better)
    assert late.status_code == 409
