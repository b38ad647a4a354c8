"""Risk rules over the REST surface; who may is in ``tests/doors/matrix.py``."""

from datetime import UTC, datetime, timedelta
from typing import Any

from scoring.rules import threshold
from tests import cast
from tests.api.asking import Asker
from tests.doors.scene import ahead, assessment, fresh

TEASEL = str(cast.ref("Teasel"))
FAT = {"neck_and_shoulder": "4.5", "back_and_ribs": "4.5", "hindquarters": "4.5"}


def changed(**raw: Any) -> dict[str, Any]:
    return {"version": 1, "reason": "Our vet asks for it", **raw}


def test_each_rule_comes_in_words_with_its_limits(database: str) -> None:
    found = Asker("maud").get("rules/").json()["results"]
    assert {each["rule"] for each in found} == set(threshold.rules())
    [fat] = [each for each in found if each["rule"] == "fat"]
    assert fat == Asker("hollis").get("rules/fat/").json()
    five = fat["thresholds"][0]
    assert five["words"] == "Overall, to the nearest half, on the 0 to 5 scale: 4.0 or more"
    assert (five["value"], five["least"], five["most"]) == ("4", "3.5", "4.5")
    assert [each["severity"] for each in fat["heard"]] == ["watch", "act"]


def test_it_is_changed_from_the_version_that_was_seen(database: str) -> None:
    isolde = Asker("isolde")
    body = changed(thresholds={"five": {"overall": 4.5}})
    done = isolde.patch("rules/fat/", body).json()
    assert (done["version"], done["left_open"], done["resolved"]) == (2, 0, 0)
    assert [each["value"] for each in done["thresholds"] if each["is_own"]] == ["4.5"]
    stale = isolde.patch("rules/fat/", changed(on=False))
    assert stale.status_code == 409
    assert stale.json()["errors"][0]["field"] == "version"
    back = isolde.patch("rules/fat/", changed(thresholds={"five": {"overall": None}}, version=2))
    assert not any(each["is_own"] for each in back.json()["thresholds"])


def test_what_protects_life_is_not_switched_off(database: str) -> None:
    for rule in ("emaciated", "danger_signs"):
        refused = Asker("isolde").patch(f"rules/{rule}/", changed(on=False))
        assert refused.status_code == 422
        assert refused.json()["errors"][0]["field"] == "on"


def test_a_preview_tells_both_and_stores_nothing(database: str) -> None:
    isolde = Asker("isolde")
    at = (datetime.now(UTC) - timedelta(days=1)).isoformat()
    isolde.post("assessments/", assessment(TEASEL, regions=FAT, taken_at=at))
    fat = "fat_in_spring" if _open(isolde, "fat_in_spring") else "fat"
    told = isolde.post(f"rules/{fat}/preview/", {"on": False}).json()
    assert (told["today"]["alerts"], told["proposed"]["alerts"]) == (1, 0)
    assert [each["id"] for each in told["fewer"]] == [TEASEL]
    assert isolde.get(f"rules/{fat}/").json()["version"] == 1


def _open(asker: Asker, rule: str) -> bool:
    return any(each["rule"] == rule for each in asker.get("alerts/").json()["results"])


def test_an_exception_is_made_read_and_ended(database: str) -> None:
    keziah = Asker("keziah")
    body: dict[str, Any] = {
        "id": fresh("exception"),
        "rule": "fat",
        "horse": TEASEL,
        "until": ahead(days=30),
    }
    body |= {"thresholds": {"five": {"overall": "4.5"}}, "reason": "On a signed plan"}
    made = keziah.post("rule-exceptions/", body)
    assert made.status_code == 201, made.content
    assert made.json()["thresholds"] == {"five": {"overall": "4.5"}}
    assert keziah.post("rule-exceptions/", body).status_code == 200
    listed = keziah.get(f"rule-exceptions/?state=in_force&horse={TEASEL}").json()["results"]
    assert [each["id"] for each in listed] == [body["id"]]
    ended = keziah.post(f"rule-exceptions/{body['id']}/end/", {"reason": "A mistake"}).json()
    assert (ended["state"], ended["end_reason"]) == ("over", "A mistake")
    again = keziah.post(f"rule-exceptions/{body['id']}/end/", {"reason": "A mistake"})
    assert again.status_code == 409
