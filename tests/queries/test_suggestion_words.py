"""What is suggested, said in sentences: about, never exactly, and why."""

import pytest

from scoring.queries import suggestion_words, wording
from scoring.rules import keys, scale, suggestion
from yards.rules import fixture

CASES = fixture.load("suggestion_cases")["cases"]


def said(case: dict[str, object]) -> list[str]:
    return [wording.say(*reason) for place in case["places"] for reason in place["reasons"]]  # type: ignore[attr-defined]


def test_the_reasons_are_worded_one_to_one() -> None:
    assert set(suggestion_words.WHY) == set(keys.SUGGESTION)
    assert set(suggestion_words.CHOSEN) == set(keys.CHOSEN)


@pytest.mark.parametrize("case", CASES, ids=[each["name"] for each in CASES])
def test_each_reason_is_a_whole_sentence(case: dict[str, object]) -> None:
    for text in said(case):
        assert text.endswith(".")
        assert text[0].isupper()
        assert "_" not in text
        assert "{" not in text


def test_firm_ribs_under_a_nearly_flat_back_are_about_4_to_4_5() -> None:
    [found] = suggestion.suggest("five", {"spine": "nearly_flat", "ribs": "firm_pressure"})
    [reason] = found.reasons
    assert wording.say(*reason) == "Suggests about 4 to 4½."


def test_a_disagreement_names_both_sides() -> None:
    [found] = suggestion.suggest("five", {"spine": "ridge", "ribs": "not_found"})
    [reason] = found.reasons
    assert wording.say(*reason) == (
        "Back a ridge, yet ribs not found: these disagree. Anywhere from 1½ to 5; feel again."
    )


def test_every_finding_can_be_a_reason() -> None:
    for name, mark in fixture.load("findings")["landmarks"].items():
        for row in mark["values"]:
            assert suggestion_words.finding(f"{name}.{row['value']}") == row["said"]
    assert suggestion_words.finding("hooves.cracked") == "hooves.cracked"


def test_scores_are_said_without_idle_noughts() -> None:
    assert [suggestion_words.score(scale.shown(each)) for each in (0, 1, 8, 9)] == [
        "0",
        "½",
        "4",
        "4½",
    ]
