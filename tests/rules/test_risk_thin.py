"""Too thin: emaciated, danger signs, thin, and twice below the band."""

from dataclasses import replace
from datetime import date

import pytest

from scoring.rules import risk, seen
from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, outside
from tests.rules.animals import NOW, edges, facts, five, found, trend, whole
from yards.rules import breeding, life_stage

INDIANA = "Indiana Horse Council investigation chart"
BAND = edges("2.0", "3.0")


@outside("1 or 2 of 9 needs a vet immediately, 2.5 is not among them", source=INDIANA, status=EXACT)
@pytest.mark.parametrize(("halves", "is_found"), [(2, True), (3, True), (4, True), (5, False)])
def test_one_and_two_of_nine_are_emaciated(halves: int, is_found: bool) -> None:
    finding = found("emaciated", facts(whole(halves, "nine")))
    assert (finding is not None) == is_found
    if finding is not None:
        assert (finding.severity, finding.advice.key) == ("urgent", "vet_before_feeding")


@outside(
    "the starved horses of a refeeding trial scored 1.8 of 9: to the nearest half, emaciated",
    source="Stull 2003, Professional Animal Scientist 19:47-54",
    status=EXACT,
)
def test_the_horses_of_a_refeeding_trial_are_emaciated() -> None:
    assert found("emaciated", facts(whole(round(1.8 * 2), "nine"))) is not None


@outside(
    "0 and 1 on 0-5 and 1 on the donkeys' chart are seen by a vet at once, by the nearest half",
    source="composite of triage charts",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(
    ("score", "is_found"),
    [
        (five(2, 2, 2), True),
        (five(3, 2, 2), True),  # 1.17 is a 1
        (five(3, 3, 2), False),  # 1.33 is a 1.5
        (five(6, 6, 1), True),  # any region of half a point or less
        (five(6, 6, 2), False),
        (five(None, 1, None), True),
        (five(2, 2, 2, manner="visual"), True),
        (whole(3, "donkey"), True),
        (whole(4, "donkey"), False),
    ],
)
def test_emaciated_is_urgent_also_when_only_seen_or_in_part(
    score: seen.Score, is_found: bool
) -> None:
    assert (found("emaciated", facts(score)) is not None) == is_found


def test_a_record_without_a_score_hides_no_emaciated_animal() -> None:
    thin, nothing = five(2, 2, 2, days=3), five(None, None, None)
    assert found("emaciated", facts(nothing, thin)) is not None
    assert "emaciated" not in risk.judged(facts(nothing))


@outside(
    "an animal that cannot rise or labours for breath needs a vet now",
    source="AAEP care guidelines for equine rescue and retirement facilities 2019",
    status=EXACT,
)
@pytest.mark.parametrize("sign", ["cannot_rise", "laboured_breathing"])
def test_danger_signs_are_urgent(sign: str) -> None:
    finding = found("danger_signs", facts(signs=(seen.Signs(NOW, NOW, (sign,)),)))
    assert finding is not None
    assert (finding.severity, finding.advice.key) == ("urgent", "phone_vet_now")


@outside(
    "an animal that may be laminitic is not walked, not even to the scales",
    source="what vets tell keepers on the telephone",
    status=COMMON_PRACTICE,
)
def test_an_animal_that_will_not_walk_is_not_walked() -> None:
    finding = found("danger_signs", facts(signs=(seen.Signs(NOW, NOW, ("refuses_to_walk",)),)))
    assert finding is not None
    assert finding.what_not_to_do.key == "do_not_walk"


@outside(
    "3 of 9 is thin, 3.5 is not",
    source="Henneke et al. 1983, Equine Veterinary Journal 15:371-372",
    status=EXACT,
)
@outside("3 of 9 is seen by a vet within 4 to 7 days: this week", source=INDIANA, status=EXACT)
def test_three_of_nine_is_thin_and_seen_this_week() -> None:
    finding = found("thin", facts(whole(6, "nine")))
    assert finding is not None
    assert (finding.severity, finding.advice.key) == ("watch", "call_vet_this_week_thin")
    assert found("thin", facts(whole(7, "nine"))) is None


@outside(
    "1.5 on 0-5 and 2 on the donkeys' chart are thin and seen within days",
    source="composite of triage charts",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(
    ("score", "is_found"),
    [
        (five(3, 3, 4), True),  # 1.67 is a 1.5
        (five(3, 4, 4), False),  # 1.83 is a 2
        (whole(4, "donkey"), True),
        (whole(5, "donkey"), False),
        (five(3, 3, 3, manner="visual"), False),
    ],
)
def test_thin_goes_by_the_nearest_half_of_what_was_felt(score: seen.Score, is_found: bool) -> None:
    assert (found("thin", facts(score)) is not None) == is_found


def stage(born: date | None) -> life_stage.LifeStage:
    return life_stage.life_stage("horse", born, NOW.date())


@outside(
    "an old horse under 2 on 0-5 is unacceptable without a vet",
    source="leaflet of a UK equine practice on old horses",
    status=EXACT,
)
def test_an_old_thin_horse_is_for_today() -> None:
    thin = facts(five(3, 3, 3), stage=stage(date(2000, 1, 1)))
    finding = found("thin", thin)
    assert finding is not None
    assert (finding.severity, finding.advice.key) == ("act", "call_vet_today_thin")
    younger = found("thin", replace(thin, stage=stage(date(2015, 1, 1))))
    assert younger is not None
    assert younger.severity == "watch"


@outside(
    "a mare in milk below 4 of 9 is told of; another animal is not",
    source="extension advice on broodmares",
    status=FROM_MEMORY,
)
def test_a_mare_in_milk_is_thin_sooner_and_for_today() -> None:
    milk = breeding.Bred(in_milk=True)
    finding = found("thin", facts(whole(7, "nine"), bred=milk))
    assert finding is not None
    assert finding.severity == "act"
    assert found("thin", facts(whole(8, "nine"), bred=milk)) is None
    in_foal = found("thin", facts(whole(6, "nine"), bred=breeding.Bred(in_foal="yes")))
    assert in_foal is not None
    assert in_foal.severity == "act"


LOW, LOW_BEFORE = five(3, 3, 4), five(3, 4, 3, days=14)  # 1.67 both


@pytest.mark.parametrize(
    ("scores", "is_found"),
    [
        ((LOW,), False),
        ((LOW, LOW_BEFORE), True),
        ((LOW, five(4, 4, 4, days=14)), False),  # 2.0 is in the band
        ((five(4, 4, 4), LOW_BEFORE), False),
        ((LOW, five(3, 3, 3, days=0.1)), False),  # the same hand on the same day is no second
        ((LOW, five(3, 3, 3, days=0.1, by=2)), True),
        ((LOW, whole(4, "nine", days=14)), False),
    ],
)
def test_below_band_needs_two_readings(scores: tuple[seen.Score, ...], is_found: bool) -> None:
    assert (found("below_band_twice", facts(*scores, edges=BAND)) is not None) == is_found


def test_a_trend_must_agree_that_the_level_lies_below() -> None:
    """0.2 is the half width of an 80% interval: 0.156 of a standard normal sd."""
    told = facts(LOW, LOW_BEFORE, edges=BAND)
    surely = replace(told, score_trend=trend("five", -0.1, 0.2, level=1.7))
    finding = found("below_band_twice", surely)
    assert finding is not None
    assert finding.evidence[-1].params == {"percent": 97}
    hardly = replace(told, score_trend=trend("five", -0.1, 0.2, level=1.9))
    assert found("below_band_twice", hardly) is None
    # Too few readings, or another scale: the two readings are enough.
    few = replace(trend("five", 0.0, 0.1, level=1.9), rate=None)
    other = trend("nine", 0.0, 0.1, level=5.0)
    for held in (few, other):
        assert found("below_band_twice", replace(told, score_trend=held)) is not None


@outside(
    "the chance that a normal level lies below its own mean is a half, below its 90th centile 90%",
    source="the normal law",
    status=EXACT,
)
def test_probabilities_are_those_of_the_normal_law() -> None:
    held = trend("five", 0.0, 0.1, level=2.0)
    assert held.below(2.0) == pytest.approx(0.5)
    assert held.below(2.2) == pytest.approx(0.9)
    assert held.below(1.8) == pytest.approx(0.1)
    assert replace(held, low=2.0, high=2.0).below(2.0) is None
