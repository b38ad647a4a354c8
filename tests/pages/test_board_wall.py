"""The board on the wall, and how a page is told whether anything on it has changed."""

import html
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from scoring.models import Standing
from tests import cast
from tests.api.asking import Asker
from tests.doors.scene import assessment
from tests.queries import board_herds
from yards.models import Horse

SignIn = Callable[[str], Client]


def text(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


@pytest.mark.parametrize("path", ["/", "/wall/", "/?use=leisure"])
def test_a_page_that_has_not_changed_is_not_drawn_again(
    signed_in: SignIn, inside: Any, path: str
) -> None:
    client = signed_in("isolde")
    first = client.get(path)
    tag = first["ETag"]
    assert f'data-tag="{html.escape(tag)}"' in first.content.decode()
    with CaptureQueriesContext(connection) as few:
        again = client.get(path, headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    assert again["ETag"] == tag
    # A proxy that compresses makes a tag weak (RFC 9110, section 8.8.1).
    assert client.get(path, headers={"If-None-Match": f"W/{tag}"}).status_code == 304
    with CaptureQueriesContext(connection) as many:
        client.get(path)
    assert len(few) < len(many) - 4
    with inside("isolde"):
        Standing.objects.filter(horse__ref=cast.ref("Teasel")).update(
            updated_at=datetime.now(UTC) + timedelta(seconds=1)
        )
    changed = client.get(path, headers={"If-None-Match": tag})
    assert changed.status_code == 200
    assert changed["ETag"] != tag


def test_what_one_reader_has_seen_is_not_anothers_answer(signed_in: SignIn) -> None:
    tags = {key: signed_in(key).get("/")["ETag"] for key in ("isolde", "tobias", "maud")}
    assert len(set(tags.values())) == 3
    other = signed_in("tobias").get("/", headers={"If-None-Match": tags["isolde"]})
    assert other.status_code == 200


def test_an_auditors_page_never_looks_by_itself(signed_in: SignIn) -> None:
    for path in ("/", "/wall/"):
        page = text(signed_in("hollis"), path)
        assert "board.js" not in page
        assert 'http-equiv="refresh"' not in page
        assert "board.js" in text(signed_in("isolde"), path)
    assert "does not refresh itself for an auditor" in text(signed_in("hollis"), "/wall/")


def test_the_wall_shows_the_work_in_the_scope_and_by_the_filters_of_the_board(
    signed_in: SignIn, inside: Any
) -> None:
    with inside("isolde") as viewer:
        board_herds.herd(viewer, 200, datetime.now(UTC))
    client = signed_in("isolde")
    page = text(client, "/wall/")
    assert page.count("<li data-horse=") == 36
    assert "Nothing to do today" not in page
    assert re.search(r"\d+ horses: nothing to do today", page)
    assert re.search(r"and \d+ more on the board", page)
    assert '<noscript><meta http-equiv="refresh" content="60"></noscript>' in page
    assert re.search(r"Last refreshed at \d\d:\d\d", page)
    yard = str(cast.ref("Top Barn"))
    narrowed = text(client, f"/wall/?yard={yard}&due=overdue")
    with inside("isolde"):
        here = set(Horse.objects.filter(yard__ref=yard).values_list("ref", flat=True))
    shown = re.findall(r'<li data-horse="([0-9a-f-]+)"', narrowed)
    assert shown
    assert set(shown) <= {str(ref) for ref in here}
    assert "Due: Overdue" in narrowed
    assert f'href="/?yard={yard}&due=overdue"' in narrowed
    assert "Marram" not in text(signed_in("maud"), "/wall/")


def test_the_vet_is_a_link_to_dial_on_board_and_wall(signed_in: SignIn) -> None:
    sent = assessment(str(cast.ref("Teasel")), danger_signs=["not_eating"])
    assert Asker("tobias").post("assessments/", sent).status_code == 201
    for path in ("/", "/wall/"):
        page = text(signed_in("isolde"), path)
        assert "Call the vet" in page
        assert 'href="tel:01632960118"' in page
        assert 'href="tel:01632960144"' in page
