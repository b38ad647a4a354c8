"""The herd's pages: what they show, their links, their files, and who sees what."""

import csv
import html
import io
import re
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest
from django.test import Client

from scoring.queries import herd_months, herd_scope
from scoring.rules import herd_place
from scoring.rules.herd_wanted import Wanted
from tests import cast
from tests.api.asking import Asker
from tests.conftest import as_somebody, viewer_of
from tests.doors.scene import assessment
from tests.queries import herd_years
from yards import isolation
from yards.models import Entry, Horse, Yard

SignIn = Callable[[str], Client]
VIEWS = ("/herd/", "/herd/seasons/", "/herd/shares/", "/herd/due/")
FILES = ("/herd/months.csv", "/herd/seasons.csv", "/herd/shares.csv", "/herd/due.csv")
_ROW = re.compile(r'<tr><th scope="row" class="nm"><a href="/horses/([0-9a-f-]+)/".*?</tr>', re.S)
_CELL = re.compile(r'<td class="([a-z-])">(.*?)<span class="vh">([^<]+)</span></td>')


def text(client: Client, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200, path
    return html.unescape(answer.content.decode())


def eighty() -> None:
    with as_somebody("isolde") as viewer:
        herd_years.herd(viewer, 80, datetime.now(UTC))


of_eighty = pytest.mark.built(by=eighty)


@of_eighty
def test_a_cell_says_and_draws_its_month(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), "/herd/")
    drawn = {found[1]: _CELL.findall(found[0]) for found in _ROW.finditer(page)}
    with isolation.of(viewer := viewer_of("isolde")):
        found = herd_scope.scope(viewer, Wanted(), now=datetime.now(UTC))
        rows = herd_months.strip(found, size=60).rows
    assert list(drawn) == [str(row.horse) for row in rows]
    for row in rows:
        cells = drawn[str(row.horse)]
        assert "".join(letter for letter, _, _ in cells) == row.letters
        for letter, inner, said in cells:
            assert (f'href="#c{letter}"' in inner) == (letter != "-")
            assert (
                said
                == {
                    **herd_place.PLACES,
                    "u": "not safe to feel",
                    "v": "seen only",
                    "n": "no reading",
                    "-": "not here",
                }[letter]
            )
    # Every sign that is used is drawn once on the page, the places by their paths.
    assert re.findall(r'<symbol id="c(.)"', page) == ["b", "w", "a", "v", "u", "n"]


@of_eighty
def test_going_by_the_links_shows_every_horse_once(signed_in: SignIn) -> None:
    client, seen, path = signed_in("isolde"), [], "/herd/?sort=name&months=24"
    while path:
        page = text(client, path)
        seen += [found[1] for found in _ROW.finditer(page)]
        following = re.findall(r'href="(\?[^"]*)" rel="next"', page)
        path = f"/herd/{following[0]}" if following else ""
        if path:
            asked = dict(parse_qsl(urlsplit(path).query))
            assert (asked["sort"], asked["months"]) == ("name", "24")
    assert len(seen) == len(set(seen)) > 60


@of_eighty
def test_filters_stay_in_every_address(signed_in: SignIn) -> None:
    client = signed_in("isolde")
    asked = {"yard": str(cast.ref("Top Barn")), "use": "leisure", "months": "24"}
    for view in VIEWS:
        page = text(client, f"{view}?yard={asked['yard']}&use=leisure&months=24")
        views = page.split('aria-label="Views of the herd"')[1].split("</nav>")[0]
        file = re.findall(r'href="([^"]*)" download', page)
        for address in [*re.findall(r'href="([^"]*)"', views), *file]:
            assert dict(parse_qsl(urlsplit(address).query)) == asked
        assert page.count(" selected") >= 2
        assert "Top Barn" in page
    for view in (*VIEWS, *FILES):
        assert client.get(f"{view}?use=racing").status_code == 404
        assert client.get(f"{view}?yard={cast.ref('nowhere')}").status_code == 404


@of_eighty
def test_of_few_horses_counts_are_told_and_of_many_shares(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), "/herd/shares/?use=athlete&months=24")
    assert re.search(r">\d of \d<", page)
    page = text(signed_in("isolde"), "/herd/shares/")
    assert re.search(r"\d+% \(\d+ to \d+%\)", page)
    assert page.count('<svg class="hg wide"') == page.count('<svg class="hg nar"') == 1


@of_eighty
def test_two_scales_are_never_in_one_drawing(signed_in: SignIn) -> None:
    page = text(signed_in("isolde"), "/herd/seasons/")
    winter = page.split('id="end-winter-')[1].split("</section>")[0]
    titles = re.findall(r"<h3>([^<]+)</h3>", winter)
    assert titles == [
        "Scores of 0 to 5",
        "Scores of 1 to 9",
        "Scores of 1 to 5, donkey scale",
    ]
    assert winter.count('<svg class="hg step"') == 3
    assert "28 days on either side" in page
    # What is drawn is what the table holds.
    for part in winter.split("<h3>")[1:]:
        drawn = [int(each) for each in re.findall(r'<text class="nu m"[^>]*>(\d+)</text>', part)]
        table = part.split("<tbody")[1]
        cells = [int(each) for each in re.findall(r'<td role="cell"[^>]*>\D*(\d+)', table)]
        assert sum(drawn) == sum(cells) > 0


def test_a_yard_without_seasons_has_no_ends(signed_in: SignIn, inside: Any) -> None:
    with inside("isolde"):
        Yard.objects.filter(ref=cast.ref("Top Barn")).update(hemisphere="none")
    page = text(signed_in("isolde"), f"/herd/seasons/?yard={cast.ref('Top Barn')}")
    assert "No ends of seasons here" in page


@of_eighty
def test_files_hold_the_tables_and_run_no_formula(signed_in: SignIn, inside: Any) -> None:
    evil = '=HYPERLINK("https://example.org","x")'
    with inside("isolde"):
        Horse.objects.update(name=evil)
        Yard.objects.update(name="+" + evil)
    held = {}
    for path in FILES:
        answer = signed_in("isolde").get(path)
        assert answer["Content-Type"] == "text/csv; charset=utf-8"
        assert answer["Content-Disposition"].startswith('attachment; filename="herd')
        held[path] = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
        assert len({len(row) for row in held[path]}) == 1
        for value in (each for row in held[path] for each in row):
            assert not value.startswith(("=", "+", "@"))
            assert not value.startswith("-") or re.fullmatch(r"-[0-9.]+", value)
    assert len(held[FILES[0]]) > 60
    assert held[FILES[0]][1][1] == "'" + evil
    assert any(row[3].startswith("-") for row in held[FILES[1]])
    assert len(held[FILES[2]]) == 13
    assert len(held[FILES[3]]) == 1 + 12 + 3


def test_a_reading_that_is_put_right_moves_its_cell(signed_in: SignIn, database: str) -> None:
    isolde, teasel = Asker("isolde"), str(cast.ref("Teasel"))
    thin = {"neck_and_shoulder": "1.5", "back_and_ribs": "1.5", "hindquarters": "1.5"}
    made = isolde.post("assessments/", assessment(teasel, regions=thin)).json()
    before = text(signed_in("isolde"), "/herd/?sort=name")
    put_right = assessment(teasel, reason="Misread")
    answer = isolde.post(f"assessments/{made['id']}/correct/", put_right)
    assert answer.status_code == 201, answer.content
    after = text(signed_in("isolde"), "/herd/?sort=name")
    cells = [
        next(_CELL.findall(row[0])[-1][0] for row in _ROW.finditer(page) if row[1] == teasel)
        for page in (before, after)
    ]
    assert cells == ["b", "w"]


def test_nothing_yet_is_said(signed_in: SignIn, inside: Any) -> None:
    client = signed_in("isolde")
    assert "No horse was felt in these months" in text(client, "/herd/shares/")
    assert "No horse was felt near either day" in text(client, "/herd/seasons/")
    page = text(client, "/herd/?use=stallion")
    assert "No horses stood here in these months" in page
    [whole] = re.findall(r'class="hall" href="([^"]*)"', page)
    assert len(_ROW.findall(text(client, whole))) == 5


def test_an_auditors_look_is_entered_with_its_address(signed_in: SignIn, inside: Any) -> None:
    assert signed_in("hollis").get("/herd/shares/?months=24").status_code == 200
    with inside("isolde"):
        entry = Entry.objects.order_by("-id")[0]
    assert entry.verb.endswith("read") or "read" in entry.verb


def test_times_and_months_are_those_of_the_yard(signed_in: SignIn, inside: Any) -> None:
    with inside("isolde"):
        Yard.objects.update(time_zone="Pacific/Auckland")
    page = text(signed_in("isolde"), "/herd/")
    assert "Times are those of Pacific/Auckland." in page
    there = datetime.now(UTC) + timedelta(hours=12)
    assert f'title="{there:%B %Y}"' in page
