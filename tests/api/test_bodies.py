"""Bodies: how long they may be, what they may be made of, and in which order that is judged."""

import io
import json

import pytest
from django.conf import settings
from django.core.handlers.wsgi import WSGIRequest
from django.test import RequestFactory

from api import body
from tests import cast
from tests.api.asking import Asker
from tests.doors import counting
from yards.rules import errors

NEW = {"name": "Long Acre", "time_zone": "Europe/London", "hemisphere": "north"}


def test_a_body_over_the_limit_is_refused_unread(database: str) -> None:
    before = counting.rows()
    padded = {**NEW, "name": "x" * settings.API_MAX_BODY}
    response = Asker("isolde").post("yards/", padded)
    assert response.status_code == 413
    assert "1024 KiB" in response.json()["errors"][0]["message"]
    assert counting.rows() == before


def test_a_body_of_just_the_limit_is_read(database: str) -> None:
    raw = json.dumps(NEW).encode()
    padded = raw + b" " * (settings.API_MAX_BODY - len(raw))
    assert Asker("isolde").send("POST", "yards/", raw=padded).status_code == 201
    assert Asker("isolde").send("POST", "yards/", raw=padded + b" ").status_code == 413


def _chunked(raw: bytes) -> WSGIRequest:
    """A request as a server hands it on that ends the input itself: without a length."""
    request = RequestFactory().post("/", data=b"{}", content_type="application/json")
    ended = {"wsgi.input_terminated": True, "wsgi.input": io.BytesIO(raw)}
    request.META.update({"CONTENT_LENGTH": "", **ended})
    return request


def test_a_body_without_a_length_is_measured_all_the_same() -> None:
    with pytest.raises(errors.TooLarge):
        body.read(_chunked(b"[" * 99), 50)


def test_a_body_without_a_length_is_read_to_its_end() -> None:
    assert body.read(_chunked(b'{"a":"b"}'), 50) == {"a": "b"}


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"{",
        b'{"name": "a",}',
        b'{"name": NaN}',
        b'{"name": Infinity}',
        b'{"name": "a", "name": "b"}',
        b"\xff\xfe{}",
        '{"name": "é"}'.encode("latin-1"),
        b"[" * 100_000,
        b"name=Long+Acre",
    ],
)
def test_what_cannot_be_read_is_malformed(database: str, raw: bytes) -> None:
    response = Asker("isolde").send("POST", "yards/", raw=raw)
    assert response.status_code == 400
    assert response.json()["errors"][0]["message"]


@pytest.mark.parametrize("raw", [b"[]", b'"name"', b"17", b"null", b"true"])
def test_what_is_no_object_does_not_fit(database: str, raw: bytes) -> None:
    response = Asker("isolde").send("POST", "yards/", raw=raw)
    assert response.status_code == 422


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""]
)
def test_another_content_type_is_refused(database: str, kind: str) -> None:
    raw = json.dumps(NEW).encode()
    response = Asker("isolde").send("POST", "yards/", raw=raw, content_type=kind)
    assert response.status_code == 415


def test_a_charset_beside_json_is_let_pass(database: str) -> None:
    raw = json.dumps(NEW).encode()
    kind = "application/json; charset=utf-8"
    assert Asker("isolde").send("POST", "yards/", raw=raw, content_type=kind).status_code == 201


def test_who_and_what_come_before_the_body_is_looked_at(database: str) -> None:
    """401, then 404, then 403, and only then 413 and 400."""
    long, broken = b"[" * (settings.API_MAX_BODY + 1), b"{"
    top_barn, gorse = f"yards/{cast.ref('Top Barn')}/", f"yards/{cast.ref('Larchgill Yard')}/"
    for raw in (long, broken):
        assert Asker(None).send("PATCH", top_barn, raw=raw).status_code == 401
        assert Asker("maud").send("PATCH", gorse, raw=raw).status_code == 404
        assert Asker("maud").send("PATCH", top_barn, raw=raw).status_code == 403
    assert Asker("isolde").send("PATCH", top_barn, raw=long).status_code == 413
    assert Asker("isolde").send("PATCH", top_barn, raw=broken).status_code == 400
