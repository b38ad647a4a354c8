"""Horses, donkeys and mules over REST."""

from tests import cast
from tests.api.asking import Asker

TOP_BARN, SALLOW = str(cast.ref("Top Barn")), str(cast.ref("Sallow Field"))
NEW = {"name": "Oxlip", "yard": TOP_BARN, "species": "horse"}


def test_a_coordinator_registers_a_horse_and_reads_it_back(database: str) -> None:
    isolde = Asker("isolde")
    facts = {
        **NEW,
        "kind": "cob",
        "sex": "mare",
        "born": "2014-05-01",
        "born_basis": "passport",
        "height_cm": "148.5",
        "use": "leisure",
        "laminitis": "past",
        "endocrine": "unknown",
        "status": "present",
    }
    made = isolde.post("horses/", facts)
    assert made.status_code == 201
    said = made.json()
    assert {name: said[name] for name in facts} == facts
    assert isolde.get(f"horses/{said['id']}/").json() == said
    number = isolde.post("horses/", {**NEW, "height_cm": 150})
    assert number.json()["height_cm"] == "150.0"


def test_an_assessor_may_register_only_an_unknown_animal(database: str) -> None:
    maud = Asker("maud")
    assert maud.post("horses/", NEW).status_code == 403
    made = maud.post("horses/", {**NEW, "name": "Bay by the gate", "is_unknown": True})
    assert made.status_code == 201
    merged = Asker("isolde").post(
        f"horses/{made.json()['id']}/merge/", {"into": str(cast.ref("Teasel"))}
    )
    assert merged.status_code == 200
    assert merged.json()["merged_into"] == str(cast.ref("Teasel"))
    listed = [each["id"] for each in maud.get("horses/").json()["results"]]
    assert made.json()["id"] not in listed


def test_a_move_ends_one_stay_and_begins_the_next(database: str) -> None:
    isolde, path = Asker("isolde"), f"horses/{cast.ref('Teasel')}/"
    moved = isolde.post(path + "move/", {"yard": SALLOW})
    assert moved.status_code == 200
    assert moved.json()["yard"] == SALLOW
    again = isolde.post(path + "move/", {"yard": SALLOW})
    assert again.status_code == 422
    assert again.json()["errors"][0]["field"] == "yard"


def test_an_event_is_recorded_once_and_changes_the_facts(database: str) -> None:
    isolde, path = Asker("isolde"), f"horses/{cast.ref('Tansy')}/"
    event = {
        "id": str(cast.ref("a foal")),
        "kind": "foaled",
        "at": "2026-04-12T09:40:00+01:00",
        "note": "A filly",
    }
    first = isolde.post(path + "events/", event)
    again = isolde.post(path + "events/", {**event, "at": "2026-04-12T08:40:00Z"})
    other = isolde.post(path + "events/", {**event, "note": "A colt"})
    assert (first.status_code, again.status_code, other.status_code) == (201, 200, 409)
    assert first.json() == again.json()
    assert first.json()["at"] == "2026-04-12T08:40:00Z"
    assert isolde.get(path).json()["breeding"] == "lactating"
    assert len(isolde.get(path + "events/").json()["results"]) == 1


def test_a_list_is_narrowed_by_its_filters(database: str) -> None:
    tobias = Asker("tobias")

    def names(query: str) -> set[str]:
        return {each["name"] for each in tobias.get(f"horses/?{query}").json()["results"]}

    assert names(f"yard={TOP_BARN}") == {"Teasel", "Sorrel Lad"}
    assert names("species=donkey") == {"Wagtail"}
    assert names("search=tea") == {"Teasel"}
    assert names("status=dead") == set()


def test_a_filter_in_another_form_is_refused_by_name(database: str) -> None:
    tobias = Asker("tobias")
    for query, field in (
        ("yard=top-barn", "yard"),
        ("species=dog", "species"),
        ("status=lost", "status"),
        ("search=%00", "search"),
        ("cursor=%F0%9F%90%B4", "cursor"),
        ("cursor=AAAA", "cursor"),
    ):
        response = tobias.get(f"horses/?{query}")
        assert response.status_code == 400, query
        assert response.json()["errors"][0]["field"] == field


def test_a_change_of_species_or_yard_is_no_change_of_facts(database: str) -> None:
    path = f"horses/{cast.ref('Teasel')}/"
    change = {"species": "donkey", "yard": SALLOW, "version": 1}
    said = Asker("isolde").patch(path, change)
    assert said.status_code == 422
    assert {each["field"] for each in said.json()["errors"]} == {"species", "yard"}
