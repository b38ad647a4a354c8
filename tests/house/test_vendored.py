"""What others made and we carry is named: version, licence and hash; no page asks elsewhere."""

import hashlib
import json
import re
from typing import Any

import pytest
from django.test import Client

from tests.conftest import ROOT
from tests.house.test_sizes import ours

CARRIED: dict[str, dict[str, Any]] = json.loads((ROOT / "fixtures/vendored.json").read_text())[
    "files"
]
# Drawn by us, from our own mark.
DRAWN = "yards/static/yards/icons/"
SERVED = (".css", ".js", ".html", ".svg")
# Names of formats, which nothing ever asks for.
NAMESPACES = ("http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink")
ELSEWHERE = re.compile(r"(?:https?:|wss?:)//[^\s\"'<>)]+|[\"'(]//[\w-]+\.[^\s\"'<>)]+")
FOREIGN = re.compile(r"copyright|@licen[cs]e|spdx-|licen[cs]ed under|\(c\) \d{4}", re.IGNORECASE)


def in_pages() -> list[str]:
    """Every file that a page is made of, or may ask for."""
    return [each for each in ours() if "/static/" in each or "/templates/" in each]


@pytest.mark.parametrize("path", CARRIED)
def test_what_others_made_is_named_and_unchanged(path: str) -> None:
    told = CARRIED[path]
    assert all(told[each].strip() for each in ("name", "version", "licence", "changes"))
    assert told["source"].startswith("https://")
    assert hashlib.sha256((ROOT / path).read_bytes()).hexdigest() == told["sha256"]
    terms = (ROOT / told["licence_file"]).read_text()
    # As the licence itself has it: "SIL OPEN FONT LICENSE Version 1.1".
    name, _, number = told["licence"].rpartition(" ")
    words = f"{name} Version {number}".upper().replace("LICENCE", "LICENSE")
    assert words in terms.upper()
    assert told["name"] in terms


def test_nothing_else_is_of_others() -> None:
    terms = {each["licence_file"] for each in CARRIED.values()}
    found = set()
    for path in in_pages():
        if path in terms or path.startswith(DRAWN):
            continue
        try:
            text = (ROOT / path).read_text()
        except UnicodeDecodeError:
            found.add(path)
        else:
            # What is packed, or says whose it is, was not written here.
            if FOREIGN.search(text) or "sourceMappingURL" in text:
                found.add(path)
    assert found == set(CARRIED)


def test_no_page_or_file_of_it_names_another_host() -> None:
    found = []
    for path in in_pages():
        if not path.endswith(SERVED):
            continue
        for address in ELSEWHERE.findall((ROOT / path).read_text()):
            if not address.startswith(NAMESPACES):
                found.append((path, address))
    assert found == []


@pytest.mark.parametrize("path", ["/accounts/login/", "/round/score/five/", "/sw.js"])
def test_the_browser_is_told_to_ask_nobody_else(database: str, path: str) -> None:
    policy = Client().get(path)["Content-Security-Policy"]
    told = dict(part.strip().split(" ", 1) for part in policy.split(";") if part.strip())
    assert told["default-src"] == "'none'"
    assert set(" ".join(told.values()).split()) == {"'none'", "'self'", "data:"}
    assert told["script-src"] == told["style-src"] == told["connect-src"] == "'self'"
