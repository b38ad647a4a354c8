"""Alive and ready are told truly: with all there, without Redis, the database, or a migration."""

import time
from typing import Any

import psycopg
import pytest
from django.core.cache import cache
from django.db import connections
from django.test import Client
from pytest_django import Settings

from deploy import cache as deployed
from deploy import health


def ready() -> tuple[int, dict[str, Any]]:
    answer = Client().get("/healthz/ready")
    return answer.status_code, answer.json()


@pytest.fixture(autouse=True)
def not_asked_before() -> None:
    health._applied.cache_clear()


def test_all_is_there(database: str, own_cache: None) -> None:
    status, facts = ready()
    assert (status, facts["beat_age_s"]) == (200, None)
    assert all(facts[each] for each in ("ready", "database", "migrated", "redis"))
    cache.set(health.BEAT_KEY, time.time() - 5)
    assert 5 <= ready()[1]["beat_age_s"] < 60


def test_without_redis_it_still_serves_and_says_so(
    database: str, settings: Settings, monkeypatch: pytest.MonkeyPatch, tmp_path: Any
) -> None:
    away = f"unix://{tmp_path}/nobody-listens"
    settings.REDIS_URL = away
    settings.CACHES = {
        **settings.CACHES,
        "default": {**settings.CACHES["default"], "LOCATION": away},
    }
    monkeypatch.setattr(deployed._Pause, "until", 0.0)
    status, facts = ready()
    assert (status, facts["redis"], facts["ready"]) == (200, False, True)
    monkeypatch.setattr(deployed._Pause, "until", 0.0)


def test_without_a_database_it_is_alive_and_not_ready(database: str) -> None:
    connections["default"].close()
    connections["default"].settings_dict["NAME"] = "hp_nowhere"
    status, facts = ready()
    assert (status, facts["database"], facts["ready"]) == (503, False, False)
    live = Client().get("/healthz/live")
    assert (live.status_code, live.content) == (200, b"ok")


def test_a_migration_that_waits_is_told(database: str, environment: dict[str, str]) -> None:
    with psycopg.connect(environment["DATABASE_OWNER_URL"]) as owner:
        owner.execute(
            "DELETE FROM django_migrations WHERE app = 'scoring' AND name ="
            " (SELECT max(name) FROM django_migrations WHERE app = 'scoring')"
        )
    status, facts = ready()
    assert (status, facts["database"], facts["migrated"]) == (503, True, False)


def test_neither_is_kept_by_a_cache_or_names_what_runs(database: str) -> None:
    for path in ("/healthz/live", "/healthz/ready"):
        answer = Client().get(path)
        assert "no-store" in answer["Cache-Control"]
        assert database not in answer.content.decode()
        assert Client().post(path).status_code == 405
