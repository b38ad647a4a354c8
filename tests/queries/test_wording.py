"""Every message key that our code can emit has words, and the words take exactly its parameters."""

import ast
import string
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest
from django.utils import translation

from scoring.queries import wording, words
from scoring.rules import (
    danger,
    due,
    finding,
    keys,
    ladder,
    risk,
    risk_facts,
    scale,
    seen,
    weighing,
)
from tests.outside import COMMON_PRACTICE, outside
from tests.queries import risk_cases
from yards.queries import wording as house
from yards.rules import errors
from yards.rules import keys as house_keys

ROOT = Path(__file__).resolve().parents[2]
LAYERS = ("rules", "access", "queries", "actions")
# What makes a message, and where its key stands among the arguments.
MAKERS = {"refuse": 1, "FieldError": 1, "Unfit": 0, "Message": 0}
NO_PARAMS = frozenset[str]()


def sources() -> Iterator[ast.Module]:
    for package in ("yards", "scoring"):
        for layer in LAYERS:
            for path in sorted((ROOT / package / layer).rglob("*.py")):
                yield ast.parse(path.read_text())


def name_of(call: ast.Call) -> str:
    return getattr(call.func, "attr", getattr(call.func, "id", ""))


def literals(node: ast.expr) -> list[str]:
    """Return the texts that an expression can be, as far as they stand there."""
    if isinstance(node, ast.Constant):
        return [str(node.value)]
    if isinstance(node, ast.IfExp):
        return [*literals(node.body), *literals(node.orelse)]
    return []


def params_of(call: ast.Call, at: int) -> frozenset[str] | None:
    """Return the names of a call's parameters; None when they are made elsewhere."""
    if any(keyword.arg is None for keyword in call.keywords):
        return None
    names = {keyword.arg for keyword in call.keywords if keyword.arg}
    for given in call.args[at + 1 :]:
        if not isinstance(given, ast.Dict):
            return None
        names |= {str(key.value) for key in given.keys if isinstance(key, ast.Constant)}
    return frozenset(names)


@cache
def emitted() -> dict[str, frozenset[str] | None]:
    """Return the parameters of each key that our code emits; None where they are made elsewhere.

    Reading all of the source takes seconds, so not while the tests are collected.
    """
    found: dict[str, frozenset[str] | None] = {}
    for tree in sources():
        for node in ast.walk(tree):
            if not isinstance(node, ast.Call) or name_of(node) not in MAKERS:
                continue
            at = MAKERS[name_of(node)]
            if len(node.args) > at:
                for key in literals(node.args[at]):
                    found[key] = params_of(node, at)
    return found


def fields(words: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(words) if name}


def test_the_scan_finds_what_is_there() -> None:
    keys = emitted()
    assert keys["too_long"] == frozenset({"most"})
    assert keys["score_again_first"] == keys["call_vet_laminitis_risk"] == NO_PARAMS
    assert len(keys) > 80


def test_every_key_has_words_that_take_its_parameters() -> None:
    assert sorted(emitted().keys() - wording.WORDS.keys()) == []
    untold: dict[str, set[str]] = {}
    for key, given in emitted().items():
        if given is not None:
            made = {"ago", "span"} if "days" in given else set()
            untold[key] = fields(str(wording.WORDS[key])) - given - made
    assert {key: names for key, names in untold.items() if names} == {}


@pytest.mark.parametrize("listed", [house_keys.ALL, keys.ALL], ids=["yards", "scoring"])
def test_every_key_that_the_rules_list_has_words_that_take_its_parameters(
    listed: house_keys.Keys,
) -> None:
    for key, given in listed.items():
        assert fields(str(wording.WORDS[key])) <= {*given, "ago", "span"}, key


@pytest.mark.parametrize("refusal", errors.Refused.__subclasses__())
def test_every_refusal_has_words(refusal: type[errors.Refused]) -> None:
    assert refusal.key in house.REFUSALS


NOW = datetime(2026, 4, 14, 10, 0, tzinfo=UTC)


def score(**facts: object) -> seen.Score:
    given = {"scale": "five", "manner": "palpated", **facts}
    return seen.Score(at=NOW - timedelta(days=1), received_at=NOW, **given)  # type: ignore[arg-type]


def facts(**given: object) -> risk.Facts:
    return risk_facts.Facts(now=NOW, **{"species": "horse", **given})  # type: ignore[arg-type]


def weights(*kg: str) -> tuple[seen.Weight, ...]:
    return tuple(
        seen.Weight(NOW - timedelta(days=20 - 10 * n), NOW, Decimal(each), "weigh_tape")
        for n, each in enumerate(kg)
    )


FAT = score(neck=7, back=10, hind=8, crest=7)
CASES = {
    "fat": facts(palpated=FAT, speaking=FAT, crest=FAT, laminitis="past", endocrine="suspected"),
    "fat donkey": facts(species="donkey", palpated=score(scale="donkey", whole=9)),
    "old fat reading": facts(
        palpated=seen.Score(NOW - timedelta(days=40), NOW, "five", "palpated", 8, 8, 8)
    ),
    "thin": facts(speaking=score(neck=2, back=2, hind=2, manner="visual")),
    "thin region": facts(speaking=score(neck=4, back=1)),
    "signs": facts(signs=(seen.Signs(NOW, NOW, danger.signs()),)),
    "dull donkey": facts(species="donkey", signs=(seen.Signs(NOW, NOW, ("very_dull",)),)),
    "losing": facts(weights=weights("500", "400.5")),
    "losing donkey": facts(species="donkey", weights=weights("180", "168")),
    "overdue": facts(
        score_due_at=NOW - timedelta(days=9),
        weight_due_at=NOW - timedelta(days=2),
        check_due_at=NOW - timedelta(days=1),
    ),
}
EVERY = [*CASES.values(), *risk_cases.CASES.values()]


def findings() -> list[finding.Finding]:
    return [each for case in EVERY for each in risk.find(case)]


def test_the_cases_reach_every_rule() -> None:
    assert {each.rule for each in findings()} == set(risk.RULES)


@pytest.mark.parametrize("case", CASES)
def test_what_rules_find_is_said_in_whole_sentences(case: str) -> None:
    for found in risk.find(CASES[case]):
        told = wording.finding(found.said())
        for text in (told.reason, *told.evidence, told.advice, told.what_not_to_do):
            assert text.endswith(".")
            assert "_" not in text
            assert "{" not in text
        assert found.rule in words.TITLES


def test_a_fat_horse_in_spring_is_told_with_its_numbers_and_the_vet() -> None:
    [found] = [each for each in risk.find(CASES["fat"]) if each.rule == "fat_in_spring"]
    told = wording.finding(found.said())
    assert told.reason == (
        "Scored 4.17, nearest half 4.0, on the 0 to 5 scale, and it is spring in this yard "
        "(1 Mar to 31 May). "
        "Fattest: back and ribs."
    )
    assert told.evidence[0] == (
        "Felt by hand on Monday 13 April 2026, 1 day ago, on the 0 to 5 scale."
    )
    assert "Call the vet today" in told.advice
    assert "Do not starve" in told.what_not_to_do


# The order of words at an emaciated animal: the vet before the feed, water left, no grain, nothing
# that says how much (common practice, no published source; deaths of starved horses after feeding:
# Witham and Stull 1998, JAVMA 212:691-696).
@outside(
    "at an emaciated animal: the vet before the feed, water left, no grain, no amount",
    source="charities and vets; starved horses died after feeding, Witham and Stull 1998, JAVMA "
    "212:691-696",
    status=COMMON_PRACTICE,
)
def test_an_emaciated_animal_is_not_fed_before_the_vet_and_no_amount_is_named() -> None:
    [found] = risk.find(CASES["thin"])
    told = wording.finding(found.said())
    assert told.advice.startswith("Phone the vet now, before feeding.")
    assert "Leave water" in told.advice
    assert "unfed overnight" in told.advice
    assert "No grain" in told.what_not_to_do
    assert not any(unit in told.advice + told.what_not_to_do for unit in ("kg", "lb", "%", "scoop"))


@pytest.mark.parametrize(
    ("terms", "keys"),
    [
        (words.TITLES, set(risk.RULES)),
        (words.SEVERITIES, set(ladder.SEVERITIES)),
        (words.STATES, set(ladder.STATES)),
        (words.REGIONS, set(scale.REGIONS)),
        (words.SCALES, {*scale.SCALES, scale.CREST}),
        (words.METHODS, set(weighing.METHODS)),
        (words.DUE, set(due.STATES)),
    ],
)
def test_closed_lists_are_named_one_to_one(terms: house.Words, keys: set[str]) -> None:
    assert set(terms) == keys


def test_intervals_and_signs_are_named() -> None:
    species = ("horse", "donkey")
    whys = {due.intervals(due.Facts(species=each)).why for each in species}
    assert whys <= set(words.INTERVALS)
    assert all(wording.sign(each) != each for each in danger.signs())


@pytest.mark.parametrize(("days", "said"), [(0, "0 days"), (1, "1 day"), (9, "9 days")])
def test_days_are_counted_in_words(days: int, said: str) -> None:
    text = wording.say("overdue", {"what": "score,weight", "days": days})
    assert text == f"Overdue: score, weight. The longest has waited {said}."


def test_a_key_without_words_is_a_logged_fault_and_never_an_error(
    caplog: pytest.LogCaptureFixture,
) -> None:
    assert wording.say("unheard_of", {}) == str(house.REFUSALS["invalid"])
    assert "unheard_of" in caplog.text


def test_days_are_written_in_the_reader_s_language() -> None:
    with translation.override("de"):
        assert "April 2026" in wording.day(NOW.date())
        assert "Dienstag" in wording.day(NOW.date())
