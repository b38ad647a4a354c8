"""Who asks, by token."""

from tests import cast
from tests.api.asking import Asker


def test_a_token_tells_its_person_organisation_role_and_scope(database: str) -> None:
    said = Asker("maud").get("me/").json()
    assert said["person"]["name"] == "Maud Pell"
    assert said["organisation"] == {
        "id": str(cast.ref(cast.QUILLET)),
        "name": cast.QUILLET,
        "overall_rule": "mean",
    }
    assert said["role"] == "assessor"
    yards = {str(cast.ref("Top Barn")), str(cast.ref("Sallow Field"))}
    assert set(said["scope"]["yards"]) == yards
    assert said["expiry"] == "2099-01-01T00:00:00Z"


def test_a_coordinator_sees_all_yards(database: str) -> None:
    assert Asker("isolde").get("me/").json()["scope"] == {"yards": "all", "horses": []}


def test_a_device_says_that_it_is_one(database: str) -> None:
    assert Asker("device").get("me/").json()["role"] == "device"
