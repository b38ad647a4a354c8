"""Yards over REST."""

import uuid_utils.compat as uuid_utils

from tests import cast
from tests.api.asking import Asker

NEW = {"name": "Long Acre", "time_zone": "Europe/London", "hemisphere": "north"}
FULL = {
    **NEW,
    "spring": {"first": "11-15", "last": "02-10"},
    "vet": {
        "practice": "Ferrow Vets",
        "phone": "01632 960118",
        "out_of_hours_phone": "01632 960144",
        "second_phone": "01632 960171",
    },
    "quiet_hours": {"from": "21:00", "to": "06:30"},
}


def test_a_coordinator_makes_a_yard_and_reads_it_back(database: str) -> None:
    isolde = Asker("isolde")
    made = isolde.post("yards/", FULL)
    assert made.status_code == 201
    said = made.json()
    assert {name: said[name] for name in FULL} == FULL
    assert isolde.get(f"yards/{said['id']}/").json() == said
    assert isolde.get(f"yards/{said['id'].upper()}/").json() == said
    assert isolde.get("yards/").json()["results"][0] == said


def test_the_same_id_and_content_is_answered_200_and_other_content_409(database: str) -> None:
    isolde, ref = Asker("isolde"), str(uuid_utils.uuid7())
    first = isolde.post("yards/", {**NEW, "id": ref})
    again = isolde.post("yards/", {**NEW, "id": ref, "spring": None})
    other = isolde.post("yards/", {**NEW, "id": ref, "name": "Short Acre"})
    assert (first.status_code, again.status_code, other.status_code) == (201, 200, 409)
    assert again.json() == first.json()
    assert other.json()["errors"][0]["field"] == "id"


def test_a_change_carries_the_version_that_was_seen(database: str) -> None:
    isolde, path = Asker("isolde"), f"yards/{cast.ref('Top Barn')}/"
    spring = {"first": "02-20", "last": "05-20"}
    changed = isolde.patch(path, {"spring": spring, "version": 1})
    assert changed.status_code == 200
    assert (changed.json()["spring"], changed.json()["version"]) == (spring, 2)
    stale = isolde.patch(path, {"name": "Bottom Barn", "version": 1})
    assert stale.status_code == 409
    assert stale.json()["errors"][0]["field"] == "version"
    assert isolde.get(path).json()["name"] == "Top Barn"


def test_each_fault_is_named_with_its_remedy(database: str) -> None:
    bad = {
        "name": "",
        "time_zone": "Moor/Quillet",
        "hemisphere": "up",
        "spring": {"first": "02-30", "last": "05-20"},
        "vet": {"phone": "call me"},
        "quiet_hours": {"from": "9pm", "to": "06:00"},
        "colour": "green",
    }
    said = Asker("isolde").post("yards/", bad)
    assert said.status_code == 422
    assert {each["field"] for each in said.json()["errors"]} == {
        "name",
        "time_zone",
        "hemisphere",
        "spring.first",
        "vet.phone",
        "quiet_hours.from",
        "colour",
    }
    assert all(each["message"] for each in said.json()["errors"])


def test_an_assessor_sees_the_yards_of_the_grant_only(database: str) -> None:
    names = {each["name"] for each in Asker("maud").get("yards/").json()["results"]}
    assert names == {"Top Barn", "Sallow Field"}
