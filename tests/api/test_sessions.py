"""A signed-in browser uses the same door: its session, its organisation, its CSRF token."""

import json
import time

import pytest
from django.test import Client

from tests import cast, signing
from tests.api import contract
from yards.models import User

ME, GRANTS = "/api/v1/me/", "/api/v1/grants/"


def _signed_in(key: str, *, organisation: str | None = None) -> Client:
    client = Client(enforce_csrf_checks=True)
    client.force_login(User.objects.get(id=cast.ref(key)))
    signing.gave_password(client, time.time())
    if organisation is not None:
        session = client.session
        session["organisation"] = str(cast.ref(organisation))
        session.save()
    return client


def test_a_session_reads_as_its_person_in_its_organisation(database: str) -> None:
    response = _signed_in("isolde", organisation=cast.QUILLET).get(ME)
    contract.check("GET", ME, response)
    assert response.json()["person"]["name"] == "Isolde Kerr"
    assert response.json()["organisation"]["name"] == cast.QUILLET


def test_a_session_without_a_choice_is_in_its_first_organisation(database: str) -> None:
    assert _signed_in("isolde").get(ME).json()["organisation"]["name"] == cast.QUILLET


def test_a_session_in_an_organisation_without_a_grant_is_nobody(database: str) -> None:
    assert _signed_in("isolde", organisation=cast.LARCHGILL).get(ME).status_code == 401


@pytest.mark.parametrize("method", ["post", "patch"])
def test_a_session_writes_only_with_its_csrf_token(database: str, method: str) -> None:
    client = _signed_in("isolde")
    path = GRANTS if method == "post" else f"/api/v1/yards/{cast.ref('Top Barn')}/"
    send = getattr(client, method)
    refused = send(path, "{}", content_type="application/json")
    assert refused.status_code == 403
    assert json.loads(refused.content)["errors"][0]["field"] == "X-CSRFToken"
    client.get("/accounts/login/")
    client.cookies["csrftoken"] = "a" * 32
    passed = send(path, "{}", content_type="application/json", headers={"X-CSRFToken": "a" * 32})
    assert passed.status_code == 422
    signing.gave_password(client, time.time() - 16 * 60)
    late = send(path, "{}", content_type="application/json", headers={"X-CSRFToken": "a" * 32})
    # Yards are changed by whoever is signed in, people only by whoever gave the password lately.
    assert late.status_code == (403 if method == "post" else 422)


def test_a_disabled_person_is_nobody_on_the_next_request(database: str) -> None:
    client = _signed_in("isolde")
    assert client.get(ME).status_code == 200
    User.objects.filter(id=cast.ref("isolde")).update(is_active=False)
    assert client.get(ME).status_code == 401


def test_a_session_that_means_another_organisation_is_a_conflict(database: str) -> None:
    client = _signed_in("isolde")
    meant = {"Halfpoint-Organisation": str(cast.ref(cast.LARCHGILL))}
    assert client.get(ME, headers=meant).status_code == 409
    meant = {"Halfpoint-Organisation": str(cast.ref(cast.QUILLET)).upper()}
    assert client.get(ME, headers=meant).status_code == 200


def test_a_session_of_another_person_than_is_meant_is_a_conflict(database: str) -> None:
    """On a phone that two share, what one recorded is not sent as the other's."""
    client = _signed_in("isolde")
    refused = client.get(ME, headers={"Halfpoint-Person": str(cast.ref("maud"))})
    contract.check("GET", ME, refused)
    assert refused.status_code == 409
    assert refused.json()["errors"][0]["field"] == "Halfpoint-Person"
    meant = {"Halfpoint-Person": str(cast.ref("isolde")).upper()}
    assert client.get(ME, headers=meant).status_code == 200


def test_a_token_that_is_presented_is_what_counts(database: str) -> None:
    client = _signed_in("isolde")
    said = client.get(ME, headers={"Authorization": f"Token {cast.token('maud')}"}).json()
    assert said["person"]["name"] == "Maud Pell"
    assert client.get(ME, headers={"Authorization": "Token hp_nobody"}).status_code == 401
