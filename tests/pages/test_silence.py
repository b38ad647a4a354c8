"""On every page, for everybody signed in: what is wrong with the sending of alerts, or nothing."""

import threading
from collections.abc import Callable, Iterator
from datetime import UTC, datetime

import pytest
from django.db import connection
from django.test import Client
from pytest_django import Settings

from yards.actions import pulses
from yards.pages import silence as page
from yards.rules import silence

SignIn = Callable[[str], Client]
MARK = b"data-silence"
PAGES = ("/", "/alerts/", "/horses/", "/due/", "/help/")


@pytest.fixture(autouse=True)
def nothing_known() -> Iterator[None]:
    yield
    page._Known.troubles = ()
    pulses._written.clear()


def all_alive() -> None:
    pulses._written.clear()
    for name in silence.LIMITS:
        pulses.seen(name, now=datetime.now(UTC), said={})


def test_a_house_that_is_well_says_nothing(signed_in: SignIn) -> None:
    all_alive()
    page.refresh()
    assert MARK not in signed_in("isolde").get("/").content


@pytest.mark.parametrize("name", silence.LIMITS)
def test_a_silent_part_is_told_on_every_page(signed_in: SignIn, name: str) -> None:
    all_alive()
    with connection.cursor() as cursor:
        cursor.execute(
            "UPDATE yards_pulse SET at = at - interval '2 minutes' WHERE name = %s", [name]
        )
    page.refresh()
    client = signed_in("isolde")
    for path in PAGES:
        said = client.get(path).content
        assert MARK in said, path
        assert page.said(silence.Trouble(name)).encode() in said.replace(b"&#x27;", b"'")


def test_whoever_is_not_signed_in_is_told_nothing(database: str) -> None:
    page.refresh()
    assert page._Known.troubles
    assert MARK not in Client().get("/accounts/login/").content


def test_a_process_that_has_just_started_waits_for_the_others(signed_in: SignIn) -> None:
    page.refresh(grace=True)
    assert MARK not in signed_in("isolde").get("/").content


def test_no_page_costs_a_query_for_it(signed_in: SignIn) -> None:
    page.refresh()
    client = signed_in("isolde")
    client.get("/due/")
    with connection.execute_wrapper(_refused):
        assert client.get("/due/").status_code == 200


def _refused(execute: object, sql: str, *rest: object) -> object:
    assert "yards_pulse" not in sql
    return execute(sql, *rest)  # type: ignore[operator]


def test_a_web_process_that_runs_alone_on_purpose_asks_nothing(settings: Settings) -> None:
    settings.WATCH_BANNER = False
    page.begin()
    assert "silence" not in {each.name for each in threading.enumerate()}
