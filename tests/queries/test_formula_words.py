"""Texts of the weight formulas and of the tape can be translated, and say all that is shown."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from scoring.queries import fixture_words, formula_words, weight_formulas, weight_words, wording
from scoring.rules import formulas, tape, weighing, weight_keys
from yards.rules import fixture

MODULE = Path(formula_words.__file__)


def told() -> Iterator[str]:
    """Every text of the two fixtures that a page or an answer shows."""
    data, laid = fixture.load("weight_formulas"), fixture.load("tape")
    yield data["caution"]
    yield from data["meanings"].values()
    for measure in data["measures"].values():
        yield from (measure["title"], measure["landmark"])
    for formula in data["formulas"]:
        yield from (formula["title"], formula["population"])
        yield from [formula["note"]] if "note" in formula else []
    for part in ("placement", "same_hour", "positions"):
        yield from (each["text"] for each in laid[part])


def test_the_literals_are_the_fixtures_texts_both_ways() -> None:
    assert set(formula_words.TEXTS) == set(told())
    assert len(set(formula_words.TEXTS)) > 50


def test_each_text_stands_where_makemessages_looks() -> None:
    tree = ast.parse(MODULE.read_text(encoding="utf-8"))
    marked = [
        node.args[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "gettext_noop"
    ]
    assert {getattr(each, "value", None) for each in marked} == set(told())


def test_each_text_is_said() -> None:
    for text in told():
        assert fixture_words.said(text) == text


@pytest.mark.parametrize("key", weight_keys.ALL)
def test_each_key_is_a_whole_sentence(key: str) -> None:
    params = {
        "species": "horse",
        "months": 36,
        "cm": "76",
        "meant_cm": "193.0",
        "low_cm": "95",
        "high_cm": "285",
        "kg": "744.0",
        "last_kg": "228.0",
        "on": "2026-10-10",
        "low_kg": "230",
        "high_kg": "707",
        "hour": "07:30",
        "fed": "before_feed",
        "formula": "jones_1989",
        "side": "left",
        "position": "top_of_withers",
    }
    text = wording.say(key, {name: params[name] for name in weight_keys.ALL[key]})
    assert text.endswith(".")
    assert "_" not in text
    assert "{" not in text


def test_closed_lists_are_named_one_to_one() -> None:
    assert set(weight_words.SIDES) == set(tape.sides())
    assert set(weight_words.FED) == set(weighing.FED)
    assert set(weight_words.CONFIDENCES) == set(formulas.CONFIDENCES)
    assert set(fixture.load("weight_formulas")["meanings"]) == set(formulas.MEANINGS)


def test_a_formula_of_no_list_is_called_by_its_own_name() -> None:
    assert wording.formula("girth and length") == "girth and length"
    assert wording.formula("jones_1989") == "Belly girth and length from the elbow"


def test_a_card_says_what_a_formula_says() -> None:
    for each in formulas.every().values():
        card = weight_formulas.card_of(each)
        assert (card.id, card.source) == (each.id, each.source)
        assert [measure.field for measure in card.measures] == list(each.fields)
        assert card.error_at(None) == card.errors[-1]
