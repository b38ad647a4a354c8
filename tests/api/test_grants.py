"""Grants over REST: who is let in, and out again."""

from tests import cast
from tests.api.asking import Asker

MAUD = str(cast.ref("maud"))
NEW = {"person": MAUD, "role": "auditor", "yards": "all", "reason": "Yearly look"}


def test_a_coordinator_issues_a_grant(database: str) -> None:
    isolde = Asker("isolde")
    made = isolde.post("grants/", {**NEW, "until": "2027-01-01T00:00:00Z"})
    assert made.status_code == 201
    said = made.json()
    assert (said["person"], said["role"], said["yards"]) == (MAUD, "auditor", "all")
    assert (said["until"], said["state"]) == ("2027-01-01T00:00:00Z", "in_force")
    assert isolde.get("grants/").json()["results"][0] == said


def test_a_grant_may_name_yards_and_horses(database: str) -> None:
    scope = {"yards": [str(cast.ref("Top Barn"))], "horses": [str(cast.ref("Marram"))]}
    said = Asker("isolde").post("grants/", {"person": MAUD, "role": "assessor", **scope}).json()
    assert {name: said[name] for name in scope} == scope


def test_a_vet_is_named_with_register_and_waits_for_confirmation(database: str) -> None:
    vet = {"person": MAUD, "role": "vet", "yards": "all"}
    bare = Asker("isolde").post("grants/", vet)
    assert bare.status_code == 422
    fields = {each["field"] for each in bare.json()["errors"]}
    assert fields == {"registration_number", "register"}
    full = {**vet, "registration_number": "7001234", "register": "an invented register"}
    assert Asker("isolde").post("grants/", full).json()["state"] == "unconfirmed"


def test_revoked_bites_on_the_next_request(database: str) -> None:
    isolde, maud = Asker("isolde"), Asker("maud")
    assert maud.get("me/").status_code == 200
    path = f"grants/{cast.ref('grant of maud')}/revoke/"
    assert isolde.post(path, {}).status_code == 422
    assert isolde.post(path, {"reason": "Has left"}).json()["state"] == "revoked"
    assert maud.get("me/").status_code == 401
    assert isolde.post(path, {"reason": "Has left"}).status_code == 200


def test_the_last_coordinator_cannot_be_revoked(database: str) -> None:
    path = f"grants/{cast.ref('grant of isolde')}/revoke/"
    assert Asker("isolde").post(path, {"reason": "Retired"}).status_code == 409
