"""What a process logs: one JSON object a line, named by its request, without personal data."""

import json
import subprocess
import sys
from typing import Any

from tests import cast
from tests.conftest import ROOT

ASK = """
import logging, sys, django
django.setup()
from django.test import Client
headers = {"X-Request-ID": sys.argv[1], "Authorization": "Token " + sys.argv[2]}
client = Client(headers=headers, SERVER_NAME="localhost")
answer = client.get("/api/v1/horses/" + sys.argv[3] + "/?name=Teasel")
print(answer["X-Request-ID"])
print(Client(SERVER_NAME="localhost").get("/healthz/live")["X-Request-ID"])
logging.getLogger("yards").info("two\\nlines, and \\u201cquotes\\u201d")
try:
    1 / 0
except ZeroDivisionError:
    logging.getLogger("yards").exception("a fault")
"""
NAME = "a-proxys-own-name"


def logged(environment: dict[str, str], name: str) -> tuple[list[str], list[dict[str, Any]], str]:
    ran = subprocess.run(
        [
            *(sys.executable, "-W", "ignore", "-c", ASK),
            *(name, cast.token("maud"), str(cast.ref("Teasel"))),
        ],
        cwd=ROOT,
        env={**environment, "DJANGO_SETTINGS_MODULE": "deploy.settings", "LOG_LEVEL": "INFO"},
        capture_output=True,
        text=True,
        check=True,
    )
    return ran.stdout.split(), [json.loads(line) for line in ran.stderr.splitlines()], ran.stderr


def test_each_line_is_json_and_a_request_is_told_by_name_and_route(
    environment: dict[str, str],
) -> None:
    named, lines, text = logged(environment, NAME)
    assert len(lines) == 4, text
    asked, alive, ours, fault = lines
    assert named[0] == asked["request_id"] == NAME
    assert named[1] == alive["request_id"] != NAME
    told = {key: asked[key] for key in ("level", "message", "method", "status", "route")}
    assert told == {
        "level": "info",
        "message": "request",
        "method": "GET",
        "status": 200,
        "route": "api/v1/horses/<ref:id>/",
    }
    assert asked["ms"] > 0
    assert ours["message"] == "two\nlines, and “quotes”"
    assert "request_id" not in ours, "nothing is left of a request that is done"
    assert "ZeroDivisionError" in fault["exception"]
    for private in (str(cast.ref("Teasel")), "Teasel", cast.token("maud"), "Maud", "127.0.0.1"):
        assert private not in text


def test_a_name_that_could_forge_a_line_is_replaced(environment: dict[str, str]) -> None:
    named, lines, _ = logged(environment, 'x" level "error')
    assert named[0] == lines[0]["request_id"]
    assert len(named[0]) == 36
