"""Help says what the fixtures say, the same to everybody and of every horse; no link is dead."""

import html
import re
from collections.abc import Callable
from html.parser import HTMLParser

import pytest
from django.test import Client

from scoring.pages import help_content, help_sheet, shells
from scoring.queries import help_words
from scoring.rules import scale
from tests import cast
from tests.api.asking import Asker
from tests.doors.scene import assessment
from yards.queries import tastes
from yards.rules import fixture

PAGES = tuple(page.path for page in help_content.ALL.values())
READERS = ("isolde", "maud", "keziah", "hollis")
SCALES = (*scale.SCALES, scale.CREST)


class Links(HTMLParser):
    """Where a page's links lead and which places it has."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.hrefs: set[str] = set()
        self.ids: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.ids += [str(told["id"])] if told.get("id") else []
        if tag == "a" and told.get("href"):
            self.hrefs.add(str(told["href"]))


def drawn(key: str) -> str:
    """A page as a phone keeps it."""
    return shells.drawn(shells.Shell(help=key), tastes.Tastes())


@pytest.mark.parametrize("key", SCALES)
def test_a_sheet_has_every_level_and_every_half_of_its_scale(key: str) -> None:
    sheet = help_sheet.of(key)
    levels = fixture.load("scales")["scales"][key]["levels"]
    told = {text for row in sheet.rows for cell in row.cells for text in cell}
    wanted = {
        text
        for level in levels
        for texts in level.get("regions", {"whole": level.get("whole")}).values()
        for text in texts.values()
    }
    assert told == wanted
    assert len(sheet.rows) == len(list(scale.every_half(key)))
    assert [row.score for row in sheet.rows if row.between] == [
        row.score for row in sheet.rows if row.score.endswith("½")
    ]
    page = html.unescape(drawn(key))
    assert [text for text in wanted if text not in page] == []
    assert [source for source in sheet.sources if source not in page] == []


def test_findings_stand_with_the_scores_that_they_go_with() -> None:
    finds = dict(help_sheet.of(scale.FIVE).finds)
    assert [(each.text, each.scores) for each in finds["Spine, hand across"]][:2] == [
        ("Ridge", "0 to 1½"),
        ("Curved", "2 to 3½"),
    ]


@pytest.mark.parametrize("key", SCALES)
def test_no_drawing_of_a_sheet_has_an_outline_inked_before_the_others(key: str) -> None:
    page = drawn(key)
    assert not re.search(r'class="[^"]*\bon\b[^"]*"', page)
    assert len(set(re.findall(r'<path class="(co[^"]*)"', page))) <= 1
    # Words that would judge a score, which no page says of one.
    assert not re.search(r"\b(ideal|normal|bad)\b", re.sub(r"<[^>]+>", " ", page).lower())


def test_every_word_has_one_place_and_is_found_there() -> None:
    page = Links(drawn("words"))
    keys = [term.key for group in help_words.groups() for term in group.terms]
    assert len(keys) == len(set(keys)) > 30
    assert [key for key in keys if page.ids.count(key) != 1] == []
    assert {term.page for group in help_words.groups() for term in group.terms} <= {
        "",
        *help_content.ALL,
    }


def test_a_word_that_is_not_explained_cannot_be_linked() -> None:
    assert help_words.title("aim") == "Aim"
    with pytest.raises(KeyError):
        help_words.title("ideal")


def test_a_tape_repeats_in_the_reader_s_unit() -> None:
    pounds = shells.drawn(shells.Shell(help="words"), tastes.Tastes(weight="lb"))
    assert "it repeats within 22 lb" in pounds
    assert "it repeats within 10 kg" in drawn("words")
    assert "That is never an accuracy" in drawn("tape")


def test_what_a_phone_keeps_is_of_nobody(signed_in: Callable[[str], Client]) -> None:
    for path in PAGES:
        answer = signed_in("isolde").get(f"{path}?kept")
        assert answer[shells.MARK]
        page = answer.content.decode()
        found = [name for name in (*cast.YARDS, *cast.HORSES, "Isolde", "01632") if name in page]
        assert not found, path


def test_whom_to_ring_has_the_numbers_of_the_reader_s_own_yards(
    signed_in: Callable[[str], Client],
) -> None:
    page = signed_in("maud").get("/help/who/").content.decode()
    assert "tel:01632960118" in page
    assert "Sallow Field" in page
    assert "Nether Paddocks" not in page
    for row in fixture.load("danger_signs")["signs"]:
        assert row["text"] in html.unescape(page)
    assert "01632" not in Client().get("/help/who/").content.decode()


@pytest.mark.parametrize("key", READERS)
def test_help_leads_nowhere_that_is_shut(signed_in: Callable[[str], Client], key: str) -> None:
    client, seen, places = signed_in(key), set[str](), dict[str, list[str]]()
    for path in PAGES:
        page = Links(client.get(path).content.decode())
        places[path] = page.ids
        seen |= {href for href in page.hrefs if href.startswith("/")}
    for href in seen:
        path, _, place = href.partition("#")
        assert client.get(path).status_code == 200, (key, href)
        assert not place or place in places[path], href


def test_the_way_back_leads_to_a_page_of_ours_only(signed_in: Callable[[str], Client]) -> None:
    client = signed_in("maud")

    def way(came: str, path: str = "/help/tape/") -> str:
        page = client.get(path, HTTP_REFERER=came).content.decode()
        found = re.search(r'data-return href="([^"]*)"( hidden)?', page)
        assert found
        return "" if found[2] else html.unescape(found[1])

    board = "http://testserver/?place=above&yard=x"
    assert way(board) == "/?place=above&yard=x"
    assert way("https://elsewhere.example.org/") == ""
    assert way("http://testserver/help/") == ""
    # Beside a form nothing leads to a second copy of it.
    assert way(f"http://testserver/horses/{cast.ref('Teasel')}/weigh/", "/help/tape/?beside") == ""


@pytest.fixture
def scored(database: str) -> None:
    """A chart has something to explain once a horse was scored."""
    answer = Asker("tobias").post("assessments/", assessment(str(cast.ref("Teasel"))))
    assert answer.status_code == 201, answer.content


@pytest.mark.parametrize(
    ("path", "wanted"),
    [
        ("/", "/help/words/#target-band"),
        (f"/horses/{cast.ref('Teasel')}/", "/help/words/#forecast"),
        (f"/horses/{cast.ref('Teasel')}/score/", "/help/scale/five/?beside"),
        (f"/horses/{cast.ref('Wagtail')}/score/", "/help/scale/donkey/?beside"),
        (f"/horses/{cast.ref('Teasel')}/score/", "/help/tape/?beside"),
        (f"/horses/{cast.ref('Teasel')}/weigh/", "/help/tape/?beside"),
        (f"/horses/{cast.ref('Teasel')}/weigh/formula/", "/help/tape/?beside#measures"),
        (f"/round/{cast.ref('Top Barn')}/", "/help/feeling/"),
        ("/due/", "/help/words/#care-plan"),
        ("/alerts/", "/help/words/#escalate"),
    ],
)
def test_help_is_one_click_from_where_it_is_needed(
    signed_in: Callable[[str], Client], scored: None, path: str, wanted: str
) -> None:
    assert wanted in Links(signed_in("tobias").get(path).content.decode()).hrefs
