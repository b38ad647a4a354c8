"""Texts of fixtures can be translated: each stands again as a literal, and none is left over."""

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.utils import translation

from scoring.queries import fixture_words, level_words
from scoring.rules import scale
from yards.rules import fixture

ROOT = Path(__file__).resolve().parents[2]
MODULE, LEVELS = "scoring/queries/fixture_words.py", "scoring/queries/level_words.py"
TRANSLATES = {"gettext", "gettext_lazy", "ngettext", "ngettext_lazy", "pgettext", "_"}


def findings() -> Iterator[str]:
    """What the page says of each landmark."""
    for mark in fixture.load("findings")["landmarks"].values():
        yield mark["title"]
        yield from (each["text"] for each in mark["values"])


def said() -> Iterator[str]:
    """What each finding is called where it is a reason."""
    for mark in fixture.load("findings")["landmarks"].values():
        yield from (each["said"] for each in mark["values"])


def levels() -> Iterator[str]:
    """What the page says of each level, landmark by landmark, of every scale."""
    rows = fixture.load("scales")["scales"]
    for key in (*scale.SCALES, scale.CREST):
        for level in rows[key]["levels"]:
            for texts in level.get("regions", {"whole": level.get("whole")}).values():
                yield from texts.values()
            yield from level.get("brief", {}).values()


def signs() -> Iterator[str]:
    """What each danger sign is called."""
    yield from (row["text"] for row in fixture.load("danger_signs")["signs"])


PAIRS = (
    (fixture_words.FINDINGS, findings),
    (fixture_words.SAID, said),
    (level_words.TEXTS, levels),
    (fixture_words.SIGNS, signs),
)


@pytest.mark.parametrize(("literals", "told"), PAIRS, ids=["findings", "said", "levels", "signs"])
def test_the_literals_are_the_fixture_s_texts_both_ways(literals: Any, told: Any) -> None:
    assert set(literals) == set(told())
    assert len(literals) == len(set(literals)) > 10


def calls(path: Path) -> Iterator[ast.Call]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            yield node


def name_of(call: ast.Call) -> str:
    return getattr(call.func, "attr", getattr(call.func, "id", ""))


def unfindable(path: Path) -> list[int]:
    """Lines that translate what is not a literal, which ``makemessages`` cannot find."""
    return [
        call.lineno
        for call in calls(path)
        if name_of(call) in TRANSLATES
        and not all(isinstance(each, ast.Constant) for each in call.args[:1])
    ]


def test_nothing_else_translates_what_is_not_a_literal() -> None:
    sources = [path for app in ("yards", "scoring", "api") for path in (ROOT / app).rglob("*.py")]
    found = {str(path.relative_to(ROOT)): unfindable(path) for path in sources}
    assert {path for path, lines in found.items() if lines} == {MODULE}
    assert len(found[MODULE]) == 1


def test_a_text_of_no_fixture_is_refused() -> None:
    assert fixture_words.said("Hip bones") == "Hip bones"
    with pytest.raises(KeyError):
        fixture_words.said("Hip bone")


def test_each_text_stands_where_makemessages_looks() -> None:
    """``makemessages`` finds literals marked by ``gettext_noop``, in parts over lines too."""
    marked = [
        call.args[0]
        for module in (MODULE, LEVELS)
        for call in calls(ROOT / module)
        if name_of(call) == "gettext_noop"
    ]
    found = {each.value for each in marked if isinstance(each, ast.Constant)}
    assert found == {text for literals, _ in PAIRS for text in literals}


def test_a_text_is_said_in_the_reader_s_language(monkeypatch: pytest.MonkeyPatch) -> None:
    spoken = translation._trans  # type: ignore[attr-defined]
    monkeypatch.setattr(spoken, "gettext", lambda text: f"⟦{text}⟧", raising=False)
    assert fixture_words.said("Hip bones") == "⟦Hip bones⟧"
