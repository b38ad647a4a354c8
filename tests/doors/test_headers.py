"""What each kind of answer tells a browser, to the last header, over http and behind TLS."""

from typing import Any

import pytest
from django.conf import settings
from django.test import Client

from tests import cast
from tests.doors.conftest import Stage
from tests.doors.scene import Scene

POLICY = {
    "default-src 'none'",
    "object-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "img-src 'self' data:",
    "font-src 'self'",
    "connect-src 'self'",
    "manifest-src 'self'",
    "worker-src 'self'",
    "form-action 'self'",
    "frame-ancestors 'none'",
    "base-uri 'none'",
}
UNUSED = {
    *("accelerometer=()", "camera=()", "display-capture=()", "geolocation=()", "gyroscope=()"),
    *("magnetometer=()", "microphone=()", "midi=()", "payment=()", "serial=()", "usb=()"),
}
# Of every answer that is not a file.
ALWAYS = {
    "Content-Security-Policy": POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": UNUSED,
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "X-Request-ID": "all-the-same",
}
HSTS = {"Strict-Transport-Security": "max-age=31536000"}
# Each kind of answer: who asks where, the status, and what it says that others do not.
KINDS = {
    "page": ("isolde", "/", 200, {"Cache-Control": "no-store, private"}),
    "answer of the API": (
        "isolde",
        "/api/v1/yards/",
        200,
        {"Cache-Control": "no-store", "Allow": "GET, POST, HEAD"},
    ),
    "error page": ("isolde", "/nothing/", 404, {}),
    "refusal of the API": (
        None,
        "/api/v1/yards/",
        401,
        {
            "Cache-Control": "no-store",
            "Allow": "GET, POST, HEAD",
            "WWW-Authenticate": 'Token realm="Halfpoint"',
        },
    ),
    "redirect": (None, "/", 302, {"Location": "/accounts/login/?next=%2F"}),
    "slash": ("isolde", "/horses", 301, {"Location": "/horses/"}),
    "worker": (None, "/sw.js", 200, {"Cache-Control": "no-cache, private"}),
}
# What differs from answer to answer and guards nothing.
PLAIN = {"Content-Type", "Content-Length", "Content-Language", "ETag", "Last-Modified", "Vary"}


def told(key: str | None, path: str, scene: Scene, *, secure: bool) -> tuple[int, dict[str, Any]]:
    client = Client()
    if key is not None:
        client.cookies[settings.SESSION_COOKIE_NAME] = scene.sessions[key]
    answer = client.get(path, headers={"X-Request-ID": "all-the-same"}, secure=secure)
    found: dict[str, Any] = {
        name: value for name, value in answer.headers.items() if name not in PLAIN
    }
    for name, sign in (("Content-Security-Policy", ";"), ("Permissions-Policy", ",")):
        if name in found:
            found[name] = {part.strip() for part in found[name].split(sign)}
    return answer.status_code, found


@pytest.mark.parametrize("secure", [False, True], ids=["http", "TLS"])
def test_every_kind_of_answer_has_just_these_headers(
    gallery: Stage, settings: Any, secure: bool
) -> None:
    settings.SECURE_HSTS_SECONDS = 31536000 if secure else 0
    strict = HSTS if secure else {}
    with gallery() as scene:
        for kind, (key, path, status, own) in KINDS.items():
            found = told(key, path, scene, secure=secure)
            assert found == (status, {**ALWAYS, **strict, **own}), kind
        status, found_of_file = told(None, "/static/yards/house.css", scene, secure=secure)
    of_file = {"X-Content-Type-Options": "nosniff", "Cache-Control": "max-age=60, public"}
    assert (status, found_of_file) == (200, {**of_file, **strict})


def test_cookies_go_over_tls_only_and_the_session_s_is_no_script_s(
    gallery: Stage, settings: Any
) -> None:
    settings.SESSION_COOKIE_SECURE = settings.CSRF_COOKIE_SECURE = True
    client = Client()
    with gallery():
        client.get("/accounts/login/", secure=True)
        form = {"login": "maud@example.org", "password": cast.PASSWORD}
        assert client.post("/accounts/login/", form, secure=True).status_code == 302
    kept = {
        name: (each["secure"], each["httponly"], each["samesite"], each["domain"], each["path"])
        for name, each in client.cookies.items()
        if each.value
    }
    assert kept.pop("sessionid") == (True, True, "Lax", "", "/")
    # The round's scripts read this one to send it back in a header.
    assert kept.pop("csrftoken") == (True, "", "Lax", "", "/")
    assert set(kept) <= {"messages"}
