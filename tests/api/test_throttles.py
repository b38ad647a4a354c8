"""Rate limits, counted in a real Valkey: by token, by person, and by address for nobody we know."""

import logging
from collections.abc import Callable
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client
from pytest_django import Settings
from redis import Redis

from deploy import cache as deployed
from tests import cast
from tests.api.asking import Answer, Asker
from tests.doors.scene import assessment
from tests.house.test_env import settings as settings_of
from yards.models import User

FEW = 3


@pytest.fixture(autouse=True)
def few(settings: Settings, own_cache: None) -> None:
    """Allow three requests a minute."""
    settings.API_RATE = settings.API_RATE_ANONYMOUS = FEW


def statuses(ask: Callable[[], Answer], times: int = FEW + 2) -> list[int]:
    return [ask().status_code for _ in range(times)]


OVER = [200] * FEW + [429] * 2


def test_the_limits_that_are_served_are_those_of_the_contract() -> None:
    served = settings_of("s.API_RATE, s.API_RATE_ANONYMOUS")
    assert served.stdout == "600 60\n"
    assert settings_of("s.API_RATE", API_RATE="9").stdout == "9\n"


def test_a_token_has_a_limit_of_its_own(database: str) -> None:
    maud, tobias = Asker("maud"), Asker("tobias")
    assert statuses(lambda: maud.get("me/")) == OVER
    assert statuses(lambda: tobias.get("horses/")) == OVER


def test_two_tokens_of_one_person_are_counted_apart(database: str) -> None:
    # The phone's token is Maud's too.
    assert statuses(lambda: Asker("maud").get("me/")) == OVER
    assert statuses(lambda: Asker("device").get("me/"), FEW) == [200] * FEW


def test_a_person_is_counted_over_all_their_sessions(database: str) -> None:
    clients = [Client(), Client()]
    for client in clients:
        client.force_login(User.objects.get(id=cast.ref("maud")))
    turn = iter(clients * FEW)
    assert statuses(lambda: next(turn).get("/api/v1/me/")) == OVER


def test_who_is_not_let_in_is_counted_by_address(database: str) -> None:
    nobody = Asker(None)
    assert statuses(lambda: nobody.get("me/")) == [401] * FEW + [429] * 2
    # Neither a guess nor a path that is not there gets round it; a good token is let in as ever.
    guess = {"Authorization": "Token hp_guessed"}
    assert nobody.get("me/", headers=guess).status_code == 429
    assert nobody.get("nothing/").status_code == 429
    assert Asker("maud").get("me/").status_code == 200


def test_the_address_is_the_one_that_our_own_proxies_saw(database: str, settings: Settings) -> None:
    def ask(forwarded: str) -> int:
        return Client().get("/api/v1/me/", headers={"X-Forwarded-For": forwarded}).status_code

    # Without a proxy the header is anybody's word.
    assert [ask(f"192.0.2.{n}") for n in range(FEW + 1)] == [401] * FEW + [429]


def test_the_document_is_not_made_over_and_over_for_one_address(database: str) -> None:
    nobody = Asker(None)
    assert statuses(lambda: nobody.get("/api/schema/")) == OVER
    refused = nobody.get("/api/schema/")
    assert refused["Content-Type"] == "application/problem+json"
    assert 1 <= int(refused["Retry-After"]) <= 60


def test_a_batch_counts_once(database: str) -> None:
    maud = Asker("maud")
    horse = str(cast.ref("Teasel"))
    body = {"items": [assessment(horse, note=f"{n}") for n in range(FEW * 3)]}
    answer = maud.post("assessments/batch/", body)
    assert [each["status"] for each in answer.json()["results"]] == [201] * (FEW * 3)
    assert statuses(lambda: maud.get("me/"), FEW) == [200] * (FEW - 1) + [429]


def test_the_refusal_says_when_to_come_back_and_nothing_is_written(database: str) -> None:
    isolde = Asker("isolde")
    statuses(lambda: isolde.get("me/"))
    body = {"name": "New", "time_zone": "Europe/London", "hemisphere": "north"}
    refused = isolde.post("yards/", body)
    assert refused.status_code == 429
    assert refused["Content-Type"] == "application/problem+json"
    assert 1 <= int(refused["Retry-After"]) <= 60
    said = refused.json()
    assert (said["title"], said["status"]) == ("Too Many Requests", 429)
    assert "Retry-After" in said["detail"]
    cache.clear()
    assert "New" not in {each["name"] for each in isolde.get("yards/").json()["results"]}


def test_a_limit_that_was_lowered_still_says_when_to_come_back(
    database: str, settings: Settings
) -> None:
    maud = Asker("maud")
    statuses(lambda: maud.get("me/"), FEW)
    settings.API_RATE = 1
    assert int(maud.get("me/")["Retry-After"]) >= 1


def test_the_window_slides(database: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from api import throttles

    maud, began = Asker("maud"), 1_000_000.0
    for later, status in ((0, 200), (20, 200), (40, 200), (59, 429), (61, 200), (62, 429)):
        monkeypatch.setattr(
            throttles.OfViewer, "timer", staticmethod(lambda now=began + later: now)
        )
        assert maud.get("me/").status_code == status, later


def test_no_limit_holds_while_redis_is_away_and_that_is_logged(
    database: str,
    settings: Settings,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    tmp_path: Any,
) -> None:
    away = {**settings.CACHES["default"], "LOCATION": f"unix://{tmp_path}/nobody-listens"}
    settings.CACHES = {**settings.CACHES, "default": away}
    monkeypatch.setattr(deployed._Pause, "until", 0.0)
    maud = Asker("maud")
    with caplog.at_level(logging.WARNING):
        assert statuses(lambda: maud.get("me/")) == [200] * (FEW + 2)
    assert "cache unreachable" in caplog.text
    monkeypatch.setattr(deployed._Pause, "until", 0.0)


def test_the_document_promises_the_refusal_and_its_header() -> None:
    from tests.api import contract

    for path, operations in contract.published()["paths"].items():
        for method, operation in operations.items():
            headers = operation["responses"]["429"]["headers"]
            assert headers["Retry-After"]["schema"]["type"] == "integer", f"{method} {path}"


def test_the_counters_are_really_kept_in_valkey(database: str, settings: Settings) -> None:
    Asker("maud").get("me/")
    kept = Redis.from_url(settings.CACHES["default"]["LOCATION"]).keys("*throttle_viewer_*")
    assert len(kept) == 1
