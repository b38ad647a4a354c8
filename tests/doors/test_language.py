"""A pseudo-language: every sentence that is marked comes out in brackets, so what is not shows.

Each page is read by each role that may, also with a form sent empty. What stands outside the
brackets must be data: names, notes, figures, ids.
"""

import re
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser

import pytest
from django.test import Client
from django.utils import translation

from scoring.pages import shells
from tests import cast, signing
from tests.doors import ended, knocking, matrix
from tests.doors.conftest import Stage
from tests.doors.scene import Scene

_SPOKEN = frozenset({"aria-label", "alt", "title", "placeholder", "aria-description"})
_SILENT = frozenset({"script", "style"})
_MARKED = re.compile(r"⟦[^⟦⟧]*⟧")
_WORDS = re.compile(r"[^\W\d_]{2,}")
READERS = ("isolde", "keziah", "hollis")
# Data that no test made: the product's name, languages and zones by their own names, the source of
# a scale, hexadecimal ids and fingerprints, an app's secret, and what a field for a time is called
# by its browser.
_DATA = re.compile(
    r"Halfpoint|English \(United Kingdom\)|[A-Z][A-Za-z_]+/[A-Za-z_ /-]+|UTC|[0-9a-f-]{8,}"
    r"|[0-9a-f]{4}\b|\b[A-Z2-7]{32}\b"
)


class Reader(HTMLParser):
    """Everything of a page that is seen or spoken."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self.inside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        # translate="no" (HTML 3.2.6.2) marks data: ids, bytes, values as the record holds them.
        if tag in _SILENT or ("translate", "no") in attrs:
            self.inside.append(tag)
        self.said += [value for name, value in attrs if name in _SPOKEN and value]

    def handle_endtag(self, tag: str) -> None:
        if self.inside and self.inside[-1] == tag:
            self.inside.pop()

    def handle_data(self, data: str) -> None:
        if not self.inside and data.strip():
            self.said.append(data.strip())


@pytest.fixture
def pseudo(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Put every translated text in brackets, whatever its language; no shell drawn before or after
    this is taken for one drawn in it."""
    spoken = translation._trans  # type: ignore[attr-defined]

    def marked(message: str) -> str:
        return f"⟦{message}⟧" if message else ""

    monkeypatch.setattr(spoken, "gettext", marked, raising=False)
    monkeypatch.setattr(spoken, "pgettext", lambda _, message: marked(message), raising=False)
    monkeypatch.setattr(
        spoken, "ngettext", lambda one, many, n: marked(one if n == 1 else many), raising=False
    )
    monkeypatch.setattr(
        spoken, "npgettext", lambda _, one, many, n: marked(one if n == 1 else many), raising=False
    )
    shells.drawn.cache_clear()
    yield
    shells.drawn.cache_clear()


@cache
def _data() -> re.Pattern[str]:
    """Everything that people of the test wrote themselves, longest first."""
    vet = [value for value in cast.VET.values() if not value[0].isdigit()]
    people = [each.name for each in cast.PEOPLE] + [each.email for each in cast.PEOPLE]
    labels = ["Barn phone", "Blue tape", "Stray", "test program", "Misread the sheet"]
    labels += ["invented register", "Dull", "Convalescent", "Horse down, nobody there"]
    labels += ["newcomer@example.org"]
    labels += ["May she be clipped?", "Heart murmur, grade 2."]
    labels += [say(key) for key in ended.PEOPLE for say in (ended.name_of, ended.email_of)]
    labels += [ended.label_of(key) for key in (*ended.PEOPLE, *ended.TOKENS)]
    made = [*cast.ORGANISATIONS, *cast.YARDS, *cast.HORSES, *people, *vet, *labels]
    return re.compile("|".join(map(re.escape, sorted(made, key=len, reverse=True))))


def unmarked(page: str) -> list[str]:
    """What a page says outside the brackets, data taken away."""
    reader = Reader()
    reader.feed(page)
    found = []
    for said in reader.said:
        rest = said
        while _MARKED.search(rest):
            rest = _MARKED.sub(" ", rest)
        rest = _data().sub(" ", rest)
        if _WORDS.search(_DATA.sub(" ", rest)):
            found.append(said)
    return found


def _pages() -> Iterator[matrix.Row]:
    """Every row of a page that somebody signed in may read or send."""
    apart = {"account_login", "account_logout", "mfa_authenticate", "health_live", "health_ready"}
    yield from (row for row in matrix.PAGES if row.name not in apart)


def _read(row: matrix.Row, scene: Scene, key: str) -> str:
    if row.method == "GET":
        answer = knocking.knock_on_page(row, scene, key)
    else:  # in a session of its own, which may end by it
        answer = signing.signed_in(key).post(knocking.path_of(row, scene), {})
    return answer.content.decode() if answer["Content-Type"].startswith("text/html") else ""


def _sign_in() -> str:
    answer = Client().post("/accounts/login/", {"login": "nobody", "password": ""})
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.long
def test_no_text_of_any_page_escapes_translation(stage: Stage, pseudo: None) -> None:
    escaped = set()
    read = 0
    with stage() as scene:
        for row in _pages():
            for key in READERS:
                page = _read(row, scene, key)
                read += "⟦" in page
                escaped |= {(str(row), said) for said in unmarked(page)}
        escaped |= {("sign in", said) for said in unmarked(_sign_in())}
    assert not escaped
    assert read > 2 * len(list(_pages())), "most pages were read by most people"


def test_what_is_not_marked_is_found() -> None:
    page = '<p>⟦Score ⟦back⟧⟧ 3½ Teasel</p><p aria-label="Sun">Plain words</p>'
    assert unmarked(page) == ["Sun", "Plain words"]
