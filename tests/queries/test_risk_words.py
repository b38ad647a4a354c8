"""What is said of risks: cautious, whole, with the vet named, and with what is not known."""

import re

import pytest
from django.utils import translation

from scoring.queries import risk_words, wording, words
from scoring.rules import risk, risk_keys
from tests.outside import COMMON_PRACTICE, outside
from tests.queries.risk_cases import CASES

# Nothing to look at for a vet yet: a score or a weight that is late.
LATE = {"look_again_soon"}
AMOUNT = re.compile(r"\b[0-9]+(\.[0-9]+)?\s*(kg|g|lb|%|litres?|l|ml|scoops?)\b")


def finding(case: str, rule: str) -> wording.FindingWords:
    [found] = [each for each in risk.find(CASES[case]) if each.rule == rule]
    return wording.finding(found.said())


@pytest.mark.parametrize("case", CASES)
def test_each_case_is_said_in_whole_sentences(case: str) -> None:
    assert risk.find(CASES[case])
    for found in risk.find(CASES[case]):
        told = wording.finding(found.said())
        for text in (told.reason, *told.evidence, told.advice, told.what_not_to_do):
            assert text.endswith(".")
            assert text[:1].upper() == text[:1]
            assert "_" not in text
            assert "{" not in text


@outside(
    "advice names the vet, no amount of feed or medicine, and gives no diagnosis",
    source="what charities and vets agree that a layman's service may say",
    status=COMMON_PRACTICE,
)
def test_advice_names_the_vet_and_no_amount_and_diagnoses_nothing() -> None:
    for key in (*risk_keys.ADVICE, *risk_keys.WHAT_NOT_TO_DO):
        said = str(wording.WORDS[key])
        assert not AMOUNT.search(said), key
        for word in ("it has ", "suffers", "diagnos", "because of laminitis", "is laminitic"):
            assert word not in said.lower(), key
    for key in set(risk_keys.ADVICE) - LATE:
        assert "vet" in str(wording.WORDS[key]).lower(), key


def test_every_rule_has_a_title_and_says_what_it_does_not_know() -> None:
    for rule in risk.RULES:
        assert rule in words.TITLES
        told = wording.not_known(rule)
        assert told
        assert all(each.endswith(".") and "_" not in each for each in told)
    assert set(risk_words.NOT_KNOWN) == set(risk_keys.NOT_KNOWN)


def test_a_trend_is_told_with_its_interval_and_its_sign() -> None:
    told = finding("losing weight", "losing_weight")
    assert told.reason == "Loses about 1.8% of its weight a week, by the trend of its weights."
    assert told.evidence == (
        "Trend since Friday 2 January 2026: -1.8% a week; with 80% certainty between -2.3% and "
        "-1.3%.",
    )
    gain = finding("gaining condition", "gaining_fast")
    assert "+0.60 points a month" in gain.evidence[0]
    assert finding("plan too slow", "plan_off_track").reason == (
        "The plan asks for -0.7% of the weight a week; the trend of the weights is 0.0%."
    )


def test_a_vet_s_band_keeps_its_quarter_points() -> None:
    told = finding("above its band", "above_band")
    assert told.evidence[1] == "Its target band is 2.25 to 3.0 on the 0 to 5 scale."


def test_how_surely_a_limit_is_passed_is_said_plainly_and_second_hands_are_asked_for() -> None:
    """ "Truly passed with 17% certainty" and "as urgent all the same" said two things at once."""
    near = " ".join(finding("fat near the limit", "fat").evidence)
    assert re.search(r"the chance that it has truly passed the limit of 4\.0 .* is \d+%\.", near)
    assert "That is near the limit: let a second person score it by hand as well." in near
    apart = wording.say("against_the_trend")
    assert apart.startswith("The last score has reached the limit, those before it had not: let a ")
    for told in (near, apart):
        assert told.endswith("Until then do as this alert says.")


def test_certainty_is_never_said_to_be_whole() -> None:
    told = finding("twice below", "below_band_twice")
    assert told.evidence[-1] == (
        "By the trend its true level lies below the band with 99% certainty."
    )


def test_what_an_animal_left_of_its_feed_is_said_plainly() -> None:
    told = finding("donkey off its feed", "off_feed")
    assert told.reason == "This donkey ate part of its feed: it cannot go without food."
    other = finding("horse that ate nothing", "off_feed")
    assert other.reason == "It ate nothing."
    assert "12 hours" in other.advice
    mare = finding("mare off her feed", "off_feed")
    assert mare.reason == "This mare in foal ate nothing: it cannot go without food."


def test_a_missed_daily_look_sends_somebody_now_and_names_the_vet() -> None:
    told = finding("missed daily look", "overdue")
    assert told.advice.startswith("Look at it now")
    assert "phone the vet at once" in told.advice
    assert "Do not change its feed" in told.what_not_to_do


@outside(
    "dull or off its feed beside a loss: the vet at once",
    source="what vets tell keepers",
    status=COMMON_PRACTICE,
)
def test_the_graver_loss_says_no_less_than_those_it_stands_for() -> None:
    told = finding("mare losing fast", "losing_fast")
    assert "Dull or off its feed: phone the vet at once." in told.advice
    assert told.evidence[-1] == "She was covered and may be in foal."
    assert "Never starve her" in told.what_not_to_do


def test_no_donkey_is_called_a_horse_and_nobody_stands_within_reach_of_its_feet() -> None:
    for key in ("score_again_first", "feel_crest_again_first"):
        assert "horse" not in str(wording.WORDS[key])
    for key in ("phone_vet_now", "phone_vet_now_donkey", "phone_vet_now_pony"):
        said = str(wording.WORDS[key])
        assert "in sight" in said
        assert "out of reach of its feet" in said


def test_titles_are_short_enough_for_a_subject_line() -> None:
    with translation.override("en"):
        assert max(len(str(each)) for each in words.TITLES.values()) <= 40
