"""Signing in and out, in our look, and what a vet's own sign-in does."""

from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from pytest_django import Settings

from deploy import cache as deployed
from tests import cast
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Grant
from yards.rules import errors


@pytest.fixture(autouse=True)
def nobody_tried_before(own_cache: None) -> None:
    """Sign-in is rate limited by address, and all tests come from one."""


def sign_in(key: str, password: str = cast.PASSWORD) -> tuple[Client, Any]:
    client = Client()
    sent = {"login": f"{key}@example.org", "password": password}
    return client, client.post("/accounts/login/", sent)


def test_a_person_signs_in_sees_the_board_and_signs_out(database: str) -> None:
    client, answer = sign_in("maud")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/")
    page = client.get("/").content.decode()
    assert ">Maud Pell</a>, assessor" in page
    assert "Quillet Moor Horse Refuge" in page
    assert client.post("/accounts/logout/").status_code == 302
    assert client.get("/").headers["Location"].startswith("/accounts/login/")


def test_a_wrong_password_lets_nobody_in_and_too_many_are_stopped(database: str) -> None:
    client, answer = sign_in("maud", "wrong-wrong-wrong")
    assert answer.status_code == 200
    assert client.get("/").status_code == 302
    tries = [sign_in("maud", "wrong-wrong-wrong")[1] for _ in range(40)]
    assert tries[-1].status_code == 429
    assert "Too many tries" in tries[-1].content.decode()


def test_too_many_are_stopped_also_while_redis_is_away(
    database: str, settings: Settings, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    away = {**settings.CACHES["default"], "LOCATION": f"unix://{tmp_path}/nobody-listens"}
    settings.CACHES = {**settings.CACHES, "default": away}
    monkeypatch.setattr(deployed._Pause, "until", 0.0)
    assert sign_in("maud")[1].status_code == 302, "a right password lets in as ever"
    tries = [sign_in("maud", "wrong-wrong-wrong")[1] for _ in range(40)]
    assert tries[0].status_code == 200
    assert tries[-1].status_code == 429
    assert sign_in("tobias")[1].status_code == 429, "by address too"
    with connection.cursor() as cursor:
        cursor.execute("SELECT cache_key FROM yards_signinguard")
        keys = [key for (key,) in cursor.fetchall()]
    assert keys
    assert not any("maud" in key for key in keys), "an address for mail is kept as a digest only"
    monkeypatch.setattr(deployed._Pause, "until", 0.0)


def test_a_vets_own_sign_in_confirms_the_grant(database: str) -> None:
    with isolation.of(viewer_of("isolde")):
        Grant.objects.filter(person_id=cast.ref("keziah")).update(confirmed_at=None)
    with pytest.raises(errors.NotSignedIn):
        viewer_of("keziah")
    client, answer = sign_in("keziah")
    assert answer.status_code == 302
    assert ">Dr Keziah Orme</a>, vet" in client.get("/").content.decode()
    assert viewer_of("keziah").role == "vet"


def test_a_person_whose_grant_has_ended_is_told_so(database: str) -> None:
    client, _ = sign_in("maud")
    assert client.get("/").status_code == 200
    with isolation.of(viewer_of("isolde")):
        Grant.objects.filter(person_id=cast.ref("maud")).update(revoked_at=cast.BEGAN)
    page = client.get("/")
    assert page.status_code == 403
    assert "Your access has ended" in page.content.decode()
    assert f"Your access to {cast.QUILLET} ended on 6 January 2025" in page.content.decode()


def test_other_routes_of_the_library_are_off(database: str) -> None:
    for path in ("signup", "login/code", "signup/passkey", "password/set", "2fa/trust"):
        assert Client().get(f"/accounts/{path}/").status_code == 404
