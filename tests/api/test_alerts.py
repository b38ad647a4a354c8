"""Alerts over REST: read, acknowledged, snoozed, resolved."""

from typing import Any

import pytest

from tests import cast
from tests.api.asking import Asker
from tests.doors.scene import FAT, ago, ahead, assessment

TEASEL, TOP_BARN = str(cast.ref("Teasel")), str(cast.ref("Top Barn"))


def _urgent() -> dict[str, Any]:
    said = Asker("tobias").post("assessments/", assessment(TEASEL, danger_signs=["not_eating"]))
    return next(each for each in said.json()["alerts"] if each["rule"] == "danger_signs")


def test_a_danger_sign_opens_an_urgent_alert_with_the_vets_numbers(database: str) -> None:
    alert = _urgent()
    assert (alert["severity"], alert["state"], alert["version"]) == ("urgent", "open", 1)
    assert alert["vet"]["practice"] == "Ferrow Vets"
    assert alert["vet"]["phone"] == "01632 960118"
    assert alert["vet"]["out_of_hours_phone"] == "01632 960144"
    assert all(alert[part] for part in ("reason", "advice", "what_not_to_do"))
    assert "vet" in alert["advice"].lower()


def test_an_alert_says_what_it_does_not_know_when_it_opens_and_later(database: str) -> None:
    opened = _urgent()
    assert opened["not_known"] == ["Whether it is ill.", "Since when it has been so."]
    listed = Asker("maud").get("alerts/?state=open").json()["results"]
    [later] = [each for each in listed if each["id"] == opened["id"]]
    assert later["not_known"] == opened["not_known"]


def test_a_concern_alerts_at_once_without_any_score(database: str) -> None:
    sent = {"seen_at": ago(minutes=5), "danger_signs": ["very_dull"], "id": str(cast.ref("dull"))}
    path = f"horses/{TEASEL}/concerns/"
    first, again = Asker("device").post(path, sent), Asker("device").post(path, sent)
    assert (first.status_code, again.status_code) == (201, 200)
    assert again.json() == first.json()
    assert [each["rule"] for each in first.json()["alerts"]] == ["danger_signs"]
    assert Asker("device").post(path, {**sent, "note": "Dull"}).status_code == 409
    empty = Asker("device").post(path, {"seen_at": ago(minutes=5)})
    assert empty.status_code == 422
    assert empty.json()["errors"][0]["field"] == "danger_signs"


def test_acknowledging_names_the_next_step_and_by_when(database: str) -> None:
    path = f"alerts/{_urgent()['id']}/acknowledge/"
    maud = Asker("maud")
    bare = maud.post(path, {})
    assert bare.status_code == 422
    assert bare.json()["errors"][0]["field"] == "next_step"
    step = {"next_step": "Vet on her way", "by": ahead(hours=1), "note": "Rang at once"}
    said = maud.post(path, {**step, "version": 1}).json()
    assert (said["state"], said["next_step"], said["note"]) == (
        "acknowledged",
        step["next_step"],
        step["note"],
    )
    assert said["acknowledged_by"]["name"] == "Maud Pell"
    stale = maud.post(path, {**step, "version": 1})
    assert stale.status_code == 409
    assert stale.json()["errors"][0]["field"] == "version"


def test_what_protects_life_is_resolved_only_in_the_vets_words(database: str) -> None:
    path = f"alerts/{_urgent()['id']}/resolve/"
    assert Asker("tobias").post(path, {"reason": "Eats again"}).status_code == 403
    silent = Asker("isolde").post(path, {"reason": "Eats again"})
    assert silent.status_code == 422
    assert silent.json()["errors"][0]["field"] == "vet_said"
    snoozed = Asker("isolde").post(
        path.replace("resolve", "snooze"), {"until": ahead(hours=1), "reason": "Later"}
    )
    assert snoozed.status_code == 422
    said = Asker("keziah").post(path, {"reason": "Examined, sound"}).json()
    assert (said["state"], said["resolution"]) == ("resolved", "person")
    again = Asker("keziah").post(path, {"reason": "Examined, sound"})
    assert again.status_code == 409


def test_a_list_is_narrowed_by_its_filters(database: str) -> None:
    alert, isolde = _urgent(), Asker("isolde")

    def found(query: str) -> list[str]:
        return [each["id"] for each in isolde.get(f"alerts/?{query}").json()["results"]]

    for query in ("state=open", "severity=urgent", f"yard={TOP_BARN}", f"horse={TEASEL}"):
        assert alert["id"] in found(query)
    for query in ("state=resolved", "severity=watch", f"yard={cast.ref('Sallow Field')}"):
        assert alert["id"] not in found(query)
    assert isolde.get("alerts/?state=closed").status_code == 400


@pytest.mark.parametrize("key", ["maud", "tobias", "keziah", "hollis"])
def test_standing_tells_level_place_and_what_is_due(database: str, key: str) -> None:
    weighed = {"method": "estimate", "weight_kg": "471"}
    Asker("tobias").post("assessments/", assessment(TEASEL, regions=FAT, weighing=weighed))
    said = Asker(key).get(f"horses/{TEASEL}/standing/").json()
    assert said["horse"] == TEASEL
    assert said["place"] == "above"
    assert float(said["overall"]["low"]) < float(said["overall"]["level"])
    assert float(said["overall"]["level"]) < float(said["overall"]["high"])
    assert said["rate_per_month"] is None
    assert said["due"]["state"] == "not_due"
    assert said["weight_kg"] == "471.0"
    assert said["last_assessment"] is not None


def test_due_tells_what_and_when(database: str) -> None:
    isolde = Asker("isolde")
    made = isolde.post("horses/", {"name": "Oxlip", "yard": TOP_BARN, "species": "horse"}).json()
    said = isolde.get(f"due/?yard={TOP_BARN}").json()
    mine = [each for each in said["results"] if each["horse"] == made["id"]]
    assert {each["what"] for each in mine} == {"score", "weight"}
    assert {each["yard"] for each in mine} == {TOP_BARN}
    assert isolde.get("due/?yard=top").status_code == 400
    elsewhere = isolde.get(f"due/?yard={cast.ref('Nether Paddocks')}").json()["results"]
    assert made["id"] not in {each["horse"] for each in elsewhere}
