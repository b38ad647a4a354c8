"""Rounds over REST: what a phone takes along, what it opens later, and the walking order."""

import json
from typing import Any

from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.rules import formulas
from tests import cast
from tests.api.asking import Asker
from tests.conftest import viewer_of
from tests.doors.scene import FAT, ahead, assessment, weighing
from yards import isolation
from yards.models import Organisation

TOP_BARN, SALLOW = str(cast.ref("Top Barn")), str(cast.ref("Sallow Field"))
TEASEL, SORREL = str(cast.ref("Teasel")), str(cast.ref("Sorrel Lad"))
TANSY, WAGTAIL = str(cast.ref("Tansy")), str(cast.ref("Wagtail"))


def taken(by: str = "maud", yard: str = TOP_BARN) -> dict[str, Any]:
    answer = Asker(by).get(f"rounds/{yard}/")
    assert answer.status_code == 200
    said: dict[str, Any] = answer.json()
    return said


def opened(by: str = "maud", yard: str = TOP_BARN) -> dict[str, dict[str, Any]]:
    answer = Asker(by).get(f"rounds/{yard}/after/")
    assert answer.status_code == 200
    return {each["id"]: each for each in answer.json()["horses"]}


def test_a_round_names_yard_vet_person_and_organisation(database: str) -> None:
    found = taken()
    assert found["yard"] == {"id": TOP_BARN, "name": "Top Barn", "time_zone": "Europe/London"}
    assert found["vet"] == {
        "practice": "Ferrow Vets",
        "phone": "01632 960118",
        "out_of_hours_phone": "01632 960144",
        "second_phone": "01632 960171",
    }
    assert found["person"] == {"id": str(cast.ref("maud")), "name": "Maud Pell"}
    assert found["organisation"] == str(cast.ref(cast.QUILLET))
    assert [each["id"] for each in found["formulas"]] == list(formulas.every())
    assert found["overall_rule"] == "mean"
    with isolation.of(viewer_of("isolde")):
        Organisation.objects.update(overall_rule="pelvis_led")
    assert taken()["overall_rule"] == "pelvis_led"


def test_its_horses_come_in_walking_order_with_what_is_due_and_to_be_heeded(database: str) -> None:
    maud = Asker("maud")
    ordered = maud.post(f"yards/{TOP_BARN}/walk/", {"horses": [TEASEL, SORREL], "version": 1})
    assert ordered.json() == {"yard": TOP_BARN, "horses": [TEASEL, SORREL], "version": 2}
    noted = maud.patch(f"horses/{SORREL}/", {"handling": "Bites.", "version": 1})
    assert noted.status_code == 200
    first, second = taken()["horses"]
    assert (first["name"], first["order"]) == ("Teasel", 1)
    assert (second["name"], second["order"], second["caution"]) == ("Sorrel Lad", 2, "Bites.")
    assert (second["species"], second["use"], second["scale"]) == ("horse", "athlete", "five")
    assert second["born"] == "2017-05-01"
    assert first["due"]["state"] == "overdue"
    standing = maud.get(f"horses/{TEASEL}/standing/").json()["due"]
    assert first["due"]["score_at"] == standing["score_at"]
    assert first["due"]["weight_at"] == standing["weight_at"]


def test_a_donkey_has_its_own_scale_and_a_mare_in_milk_her_foal(database: str) -> None:
    isolde = Asker("isolde")
    foaled = {"kind": "foaled", "at": "2026-04-12T09:40:00Z"}
    assert isolde.post(f"horses/{TANSY}/events/", foaled).status_code == 201
    found = {each["id"]: each for each in taken(yard=SALLOW)["horses"]}
    assert found[WAGTAIL]["scale"] == "donkey"
    assert [found[each]["foal_at_foot"] for each in (TANSY, WAGTAIL)] == [True, False]


def test_its_tapes_are_the_yards_and_those_of_everywhere(database: str) -> None:
    isolde = Asker("isolde")
    for label, yard in (("Here", TOP_BARN), ("There", SALLOW), ("Everywhere", None)):
        made = isolde.post("instruments/", {"kind": "weigh_tape", "label": label, "yard": yard})
        assert made.status_code == 201
    assert [each["label"] for each in taken()["instruments"]] == ["Everywhere", "Here"]


def test_only_horses_that_are_here_and_in_scope_are_on_it(database: str) -> None:
    isolde = Asker("isolde")
    assert isolde.patch(f"horses/{SORREL}/", {"status": "away", "version": 1}).status_code == 200
    assert [each["name"] for each in taken()["horses"]] == ["Teasel"]
    assert isolde.post(f"horses/{TEASEL}/move/", {"yard": SALLOW}).status_code == 200
    assert taken()["horses"] == []
    assert [each["name"] for each in taken(yard=SALLOW)["horses"]] == ["Tansy", "Teasel", "Wagtail"]


def score_teasel() -> None:
    isolde = Asker("isolde")
    weighed = {"method": "estimate", "weight_kg": "511.5"}
    sent = assessment(TEASEL, regions=FAT, danger_signs=["not_eating"], weighing=weighed)
    assert isolde.post("assessments/", sent).status_code == 201


def test_nothing_on_a_round_anchors_the_hand(database: str) -> None:
    """Not sent at all: neither the score, nor the band, nor the alert, nor words of them."""
    before = taken()
    score_teasel()
    after = taken()
    # Those are the same for every horse.
    every = {"formulas", "overall_rule"}
    said = json.dumps({name: each for name, each in after.items() if name not in every})
    for anchor in ("4.17", "5.0", "511.5", "above", "band", "alert", "danger", "overall", "place"):
        assert anchor not in said, anchor
    # But for what is due, the round says what it said before the score.
    for each in (before, after):
        each["made_at"] = None
        for horse in each["horses"]:
            horse["due"] = None
    assert before == after


def test_what_is_opened_later_holds_last_score_band_and_alerts(database: str) -> None:
    score_teasel()
    found = opened()
    scored = Asker("maud").get(f"assessments/?horse={TEASEL}").json()["results"][0]
    last = found[TEASEL]["last"]
    assert last == {
        "at": scored["corrected_taken_at"],
        "overall": "4.17",
        "regions": FAT,
        "scale": "five",
        "weight_kg": "511.5",
        "weighed_at": scored["corrected_taken_at"],
    }
    band = {name: scored["band"][name] for name in ("low", "high")}
    assert {name: found[TEASEL]["band"][name] for name in band} == band
    assert found[TEASEL]["band"]["scale"] == "five"
    assert found[TEASEL]["place"] == scored["place"] == "above"
    alerts = Asker("maud").get(f"alerts/?horse={TEASEL}").json()["results"]
    assert [each["severity"] for each in found[TEASEL]["open_alerts"]] == [
        each["severity"] for each in reversed(alerts)
    ]
    assert {each["advice"] for each in found[TEASEL]["open_alerts"]} == {
        each["advice"] for each in alerts
    }
    assert "danger signs" in {each["title"] for each in found[TEASEL]["open_alerts"]}
    assert found[SORREL]["last"] is None
    assert found[SORREL]["open_alerts"] == []
    assert found[SORREL]["next_due_days"] > 0


def test_a_vets_band_is_the_one_that_is_opened(database: str) -> None:
    ordered = Asker("keziah").post(
        f"horses/{TEASEL}/vet-orders/",
        {
            "band": {"low": "1.5", "high": "2.5"},
            "score_days": 9,
            "reason": "After colic",
            "until": ahead(days=30),
        },
    )
    assert ordered.status_code == 201
    found = opened()[TEASEL]
    assert (found["band"]["low"], found["band"]["high"]) == ("1.5", "2.5")
    assert found["next_due_days"] == 9


def test_a_walking_order_is_read_by_all_and_stale_is_stale(database: str) -> None:
    path = f"yards/{TOP_BARN}/walk/"
    read = Asker("hollis").get(path).json()
    assert read == {"yard": TOP_BARN, "horses": [SORREL, TEASEL], "version": 1}
    sent = {"horses": [TEASEL], "version": 1}
    assert Asker("maud").post(path, sent).json()["horses"] == [TEASEL, SORREL]
    stale = Asker("tobias").post(path, sent)
    assert stale.status_code == 409
    assert stale.json()["errors"][0]["field"] == "version"


ROUND = (f"rounds/{TOP_BARN}/", f"rounds/{TOP_BARN}/after/")


def one_more(n: int) -> None:
    isolde = Asker("isolde")
    raw = {"name": f"Walked {n}", "yard": TOP_BARN, "species": "horse", "handling": "Quiet."}
    horse = isolde.post("horses/", raw).json()["id"]
    sent = assessment(horse, danger_signs=["not_eating"])
    assert isolde.post("assessments/", sent).status_code == 201
    assert isolde.post("weighings/", weighing(horse)).status_code == 201
    tape = {"kind": "weigh_tape", "label": f"Tape {n}", "yard": TOP_BARN}
    assert isolde.post("instruments/", tape).status_code == 201


def test_twenty_horses_cost_as_many_queries_as_ten(database: str) -> None:
    counted = []
    for upto in (10, 20):
        for n in range(upto - 10, upto):
            one_more(n)
        counted.append({path: queries(path, upto + 2) for path in ROUND})
    assert counted[0] == counted[1]


def queries(path: str, horses: int) -> int:
    """How many queries a round costs that has so many horses."""
    with CaptureQueriesContext(connection) as seen:
        said = Asker("maud").get(path).json()
    assert len(said["horses"]) == horses
    return len(seen)
