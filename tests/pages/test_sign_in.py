"""Signing in and out, in our look, and what a vet's own sign-in does."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client

from tests import cast
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Grant
from yards.rules import errors


@pytest.fixture(autouse=True)
def nobody_tried_before() -> Iterator[None]:
    """Sign-in is rate limited by address, and all tests come from one."""
    cache.clear()
    yield
    cache.clear()


def sign_in(key: str, password: str = cast.PASSWORD) -> tuple[Client, Any]:
    client = Client()
    sent = {"login": f"{key}@example.org", "password": password}
    return client, client.post("/accounts/login/", sent)


def test_a_person_signs_in_sees_the_board_and_signs_out(database: str) -> None:
    client, answer = sign_in("maud")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/")
    page = client.get("/").content.decode()
    assert "Maud Pell, assessor" in page
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


def test_a_vets_own_sign_in_confirms_the_grant(database: str) -> None:
    with isolation.of(viewer_of("isolde")):
        Grant.objects.filter(person_id=cast.ref("keziah")).update(confirmed_at=None)
    with pytest.raises(errors.NotSignedIn):
        viewer_of("keziah")
    client, answer = sign_in("keziah")
    assert answer.status_code == 302
    assert "Dr Keziah Orme, vet" in client.get("/").content.decode()
    assert viewer_of("keziah").role == "vet"


def test_a_person_whose_grant_has_ended_is_told_so(database: str) -> None:
    client, _ = sign_in("maud")
    assert client.get("/").status_code == 200
    with isolation.of(viewer_of("isolde")):
        Grant.objects.filter(person_id=cast.ref("maud")).update(revoked_at=cast.BEGAN)
    page = client.get("/")
    assert page.status_code == 403
    assert "no organisation has a grant for you" in page.content.decode()


def test_other_routes_of_the_library_are_off(database: str) -> None:
    for path in ("signup", "password/reset", "password/change", "email"):
        assert Client().get(f"/accounts/{path}/").status_code == 404
