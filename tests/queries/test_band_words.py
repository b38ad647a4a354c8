"""Why a band is what it is, in whole sentences, with a caution where slimming could hurt."""

from datetime import date, timedelta

import pytest

from scoring.queries import band_words, wording
from scoring.rules import band, keys
from yards.rules import life_stage, seasons
from yards.rules.breeding import Happened

ON = date(2026, 4, 12)
GROWN = date(2014, 1, 1)
DAY = timedelta(days=1)


def said(species: str = "horse", use: str = "leisure", **given: object) -> list[str]:
    facts = band.Facts(species, use, **given)  # type: ignore[arg-type]
    return [wording.say(*each) for each in band.band(facts, ON).why]


def test_the_lists_are_named_one_to_one() -> None:
    assert set(band_words.WHY) == set(keys.BAND)
    assert set(band_words.SEASONS) == set(seasons.Season)
    assert set(band_words.STAGES) == set(life_stage.Stage)


@pytest.mark.parametrize("key", keys.BAND)
def test_each_is_a_whole_sentence_or_more(key: str) -> None:
    params = {"month": 9, "months": 6, "stage": "foal", "season": "autumn", "points": "0.25"}
    params |= {"spring_first": "03-01", "spring_last": "05-31"}
    text = wording.say(key, {name: params[name] for name in keys.BAND[key]})
    assert text.endswith(".")
    assert text[0].isupper()
    assert "_" not in text
    assert "{" not in text


def test_a_leisure_horse_in_april_is_told_its_class_and_its_season() -> None:
    # 43 of 275 days from the leanest to the fullest: 0.25 cos(43 pi / 275) is 0.220.
    assert said(born_earliest=GROWN) == [
        "An adult in ordinary use.",
        "It is spring at this yard, whose spring is 1 Mar to 31 May: aim 0.22 points below the "
        "middle of the band.",
    ]


def test_a_foal_is_told_by_its_stage() -> None:
    [first] = said(use="youngster", born_earliest=date(2026, 3, 1))
    assert first == "Still growing, a foal: growth counts as much as the score."


@pytest.mark.parametrize(
    ("species", "word", "kind", "days"),
    [
        ("horse", "pregnant", "covered", 300),
        ("horse", "lactating", "foaled", 20),
        ("donkey", "pregnant", "covered", 300),
        ("donkey", "lactating", "foaled", 20),
    ],
)
def test_a_mare_late_in_foal_or_early_in_milk_is_not_slimmed_without_the_vet(
    species: str, word: str, kind: str, days: int
) -> None:
    told = said(
        species,
        "companion",
        breeding=word,
        born_earliest=GROWN,
        happened=(Happened(kind, ON - days * DAY),),
    )
    assert any("No slimming" in each and "without the vet" in each for each in told)
