"""How a refusal looks, and which comes first."""

import json
from typing import Any

import pytest

from tests import cast
from tests.api.asking import Answer, Asker

NAMED = "Halfpoint-Organisation"
MEMBERS = {"type", "title", "status", "detail", "errors", "request_id"}


def _is_problem(response: Answer, status: int) -> dict[str, Any]:
    assert response.status_code == status
    assert response["Content-Type"] == "application/problem+json"
    said: dict[str, Any] = json.loads(response.content)
    assert set(said) == MEMBERS
    assert said["status"] == status
    assert said["request_id"] == response["X-Request-ID"]
    assert said["detail"]
    return said


@pytest.mark.parametrize(
    "authorization", ["Token hp_nobody", "Token", "Basic aGF5OmhheQ==", "", "Token \xff\x00"]
)
def test_nobody_we_know_is_challenged(database: str, authorization: str) -> None:
    asker = Asker(None)
    asker.headers = {"Authorization": authorization}
    response = asker.get("me/")
    _is_problem(response, 401)
    assert response["WWW-Authenticate"].startswith("Token")


def test_no_token_and_no_session_is_challenged(database: str) -> None:
    _is_problem(Asker(None).get("me/"), 401)


@pytest.mark.parametrize("path", ["nothing/", "horses/not-an-id/", "../elsewhere", "me"])
def test_an_unknown_path_is_not_found_in_the_same_shape(database: str, path: str) -> None:
    _is_problem(Asker("isolde").get(f"/api/v1/{path}"), 404)
    _is_problem(Asker("isolde").send("DELETE", f"/api/v1/{path}"), 404)
    _is_problem(Asker(None).get(f"/api/v1/{path}"), 401)


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"])
def test_another_method_is_refused_with_those_there_are(database: str, method: str) -> None:
    response = Asker("isolde").send(method, "me/")
    _is_problem(response, 405)
    assert response["Allow"] == "GET, HEAD"


def test_a_header_that_means_another_organisation_is_a_conflict(database: str) -> None:
    mine, other = str(cast.ref(cast.QUILLET)), str(cast.ref(cast.LARCHGILL))
    assert Asker("isolde").get("me/", headers={NAMED: mine}).status_code == 200
    for meant in (other, "not an id", ""):
        said = _is_problem(Asker("isolde").get("me/", headers={NAMED: meant}), 409)
        assert said["errors"][0]["field"] == "Halfpoint-Organisation"
