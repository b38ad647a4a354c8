"""NUL bytes and numbers too large for any column, wherever something may be said: never a 500.

A refusal is right, and so is a page that takes no notice; what the database cannot hold must not
reach it. Whether a refusal is the right one is the business of other tests.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any
from urllib.parse import quote, urlencode

import pytest
from django.conf import settings
from django.http import QueryDict

from tests import cast, signing
from tests.api.asking import Answer
from tests.clients import Client
from tests.doors import knocking, matrix
from tests.doors.conftest import Stage
from tests.doors.row import Row
from tests.doors.scene import Scene

HUGE = "9" * 400
TYPED = ("\0", HUGE)
IN_JSON = ("a\0b", -(2**63) - 1)
ROWS = (*matrix.API, *matrix.PAGES)


class Knocker:
    """Asks as the coordinator, by token or by session, and keeps what was answered by a fault."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.session = scene.sessions["isolde"]
        self.asked = 0
        self.faults: list[tuple[str, str, Any, int]] = []

    def knock(self, row: Row, path: str, what: tuple[str, Any], body: Any = None) -> Answer:
        """Send a row's method to a path; ``what`` says where something odd stands in it."""
        client = Client(raise_request_exception=False)
        headers, kind, raw = {}, "", b""
        if row in matrix.API:
            headers = {"Authorization": f"Token {cast.token('isolde')}"}
            if body is not None:
                kind, raw = "application/json", json.dumps(body).encode()
        else:
            client.cookies[settings.SESSION_COOKIE_NAME] = self.session
            if body is not None:
                kind = "application/x-www-form-urlencoded"
                raw = urlencode(body, doseq=True).encode()
        answer = client.generic(row.method, path, raw, content_type=kind, headers=headers)
        self.asked += 1
        if row.method == "POST" and ":" not in row.name and row not in matrix.API:
            # A form of one's own account may have ended the session.
            client = signing.signed_in("isolde")
            self.session = client.cookies[settings.SESSION_COOKIE_NAME].value
        if answer.status_code >= 500:
            self.faults.append((str(row), what[0], str(what[1])[:30], answer.status_code))
        return answer


@contextmanager
def read_by_name(patch: pytest.MonkeyPatch) -> Iterator[set[str]]:
    """Keep the names that are asked of any address or form meanwhile."""
    names: set[str] = set()

    def heard(way: str) -> Any:
        plain = getattr(QueryDict, way)

        def asked(self: QueryDict, name: str, *more: Any) -> Any:
            names.add(name)
            return plain(self, name, *more)

        return asked

    with patch.context() as patched:
        for way in ("__getitem__", "__contains__", "get", "getlist"):
            patched.setattr(QueryDict, way, heard(way), raising=False)
        yield names


def fresh(said: set[Any], name: str, values: tuple[Any, ...]) -> Iterator[Any]:
    """Give the values that a name has not been said with: a name is read in one way everywhere."""
    for odd in values:
        if (name, odd) not in said:
            said.add((name, odd))
            yield odd


def in_paths(knocker: Knocker) -> None:
    for row in ROWS:
        if row.ids:
            for odd in TYPED:
                path = knocking.path_of(row, knocker.scene)
                for name in row.ids:
                    said = quote(_said(row, knocker.scene, name))
                    path = path.replace(said, quote(odd, safe=""))
                assert quote(odd, safe="") in path
                knocker.knock(row, path, ("path", odd))


def _said(row: Row, scene: Scene, name: str) -> str:
    each = row.ids[name]
    return scene.ids.get(each, each)


def in_queries(knocker: Knocker, patch: pytest.MonkeyPatch) -> int:
    read = 0
    said: set[Any] = set()
    for row in ROWS:
        if row.method == "GET":
            path = knocking.path_of(row, knocker.scene)
            with read_by_name(patch) as names:
                knocker.knock(row, path, ("nothing", ""))
            read += len(names)
            for name in sorted(names):
                for odd in fresh(said, name, TYPED):
                    knocker.knock(row, f"{path}?{urlencode({name: odd})}", (name, odd))
    return read


def in_bodies(knocker: Knocker) -> None:
    said: set[Any] = set()
    for row in ROWS:
        if row.method != "GET":
            path = knocking.path_of(row, knocker.scene)
            good = knocking.body_of(row, knocker.scene)
            if any(isinstance(each, bytes) for each in good.values()):
                continue  # a form with a file: see tests/api/test_photos.py
            for name in good:
                for odd in fresh(said, name, IN_JSON if row in matrix.API else TYPED):
                    knocker.knock(row, path, (name, odd), {**good, name: odd})


def test_no_path_of_odd_parts_is_a_fault(gallery: Stage) -> None:
    with gallery() as scene:
        knocker = Knocker(scene)
        in_paths(knocker)
    assert knocker.faults == []
    assert knocker.asked > 150


def test_no_address_that_asks_for_odd_things_is_a_fault(
    stage: Stage, monkeypatch: pytest.MonkeyPatch
) -> None:
    with stage() as scene:
        knocker = Knocker(scene)
        assert in_queries(knocker, monkeypatch) > 100
    assert knocker.faults == []


def test_no_body_of_odd_values_is_a_fault(stage: Stage) -> None:
    with stage() as scene:
        knocker = Knocker(scene)
        in_bodies(knocker)
    assert knocker.faults == []
    assert knocker.asked > 100


def test_no_route_gives_back_what_trace_sends(gallery: Stage) -> None:
    """A script that may not read a cookie could read it there (RFC 9110, 9.3.8)."""
    with gallery() as scene:
        paths = {knocking.path_of(row, scene) for row in ROWS}
        client = Client(raise_request_exception=False)
        client.cookies[settings.SESSION_COOKIE_NAME] = scene.sessions["isolde"]
        found = {path: client.trace(path, headers={"X-Canary": "linnet"}) for path in paths}
    assert [path for path, each in found.items() if b"linnet" in each.content] == []
    answered = {path for path, each in found.items() if each.status_code < 300}
    # The library's page for a link that is no more: it says so, whatever is asked.
    assert answered <= {"/accounts/password/new/0-no-key/"}
    assert len(found) > 100
