"""Losing and gaining fast by the trend, planned or not, and of mares in foal or in milk."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from scoring.rules import baseline, outlook, risk, seen, standing
from scoring.rules import trend as filters
from tests.outside import EXACT, FROM_MEMORY, WITHIN_TOLERANCE, outside
from tests.rules.animals import (
    DAY,
    NOW,
    WEEK,
    edges,
    facts,
    five,
    found,
    names,
    trend,
)
from yards.rules import breeding, life_stage

IN_FOAL, IN_MILK = breeding.Bred(in_foal="yes"), breeding.Bred(in_milk=True)


@outside(
    "losses on a restricted but safe ration, 0.16 to 0.55% a week, raise no alarm",
    source="Argo et al. 2012, Veterinary Journal (12 animals, 16 weeks)",
    status=EXACT,
)
@outside(
    "nor do 0.7 and 0.8% a week after the first week at 1% of the weight in dry matter",
    source="Dugdale et al. 2010, EVJ (0.7 with an error of 0.1)",
    status=EXACT,
)
@pytest.mark.parametrize("rate", [0.16, 0.55, 0.7, 0.8])
def test_what_was_lost_in_trials_is_not_fast(rate: float) -> None:
    assert names(facts(weight_trend=trend("weight", -rate, 0.1, level=300))) == set()


@outside(
    "at most 1% of the weight a week after the first week",
    source="researchers quoted in The Horse, February 2019",
    status=EXACT,
)
@pytest.mark.parametrize(
    ("rate", "half", "is_found"),
    [(-1.2, 0.1, True), (-1.2, 0.3, False), (-1.05, 0.05, False), (1.5, 0.1, False)],
)
def test_over_one_per_cent_a_week_must_be_sure(rate: float, half: float, is_found: bool) -> None:
    """Beyond with the whole 80% interval: a tape's noise is no loss."""
    told = facts(weight_trend=trend("weight", rate, half, level=400))
    finding = found("losing_weight", told)
    assert (finding is not None) == is_found
    assert finding is None or finding.severity == "act"


@outside("more than 2% in any later week", source="composite of rates of loss", status=FROM_MEMORY)
def test_over_two_per_cent_must_be_likely_and_a_loss() -> None:
    likely = facts(weight_trend=trend("weight", -2.1, 1.9, level=400))
    assert found("losing_weight", likely) is not None
    unsure = facts(weight_trend=trend("weight", -2.1, 2.2, level=400))
    assert found("losing_weight", unsure) is None
    slow = facts(weight_trend=trend("weight", -1.9, 1.5, level=400))
    assert found("losing_weight", slow) is None


def weighed(*kg: float, resets: tuple[baseline.Reset, ...] = ()) -> seen.Trend:
    """Return the trend of weekly weighings until now, by the product's own filter."""
    first = NOW - (len(kg) - 1) * WEEK
    readings = [
        standing.weight_reading(first + n * WEEK, each, "weighbridge") for n, each in enumerate(kg)
    ]
    state = filters.refilter(readings, model=standing.WEIGHT, resets=resets)
    assert state is not None
    since = datetime.fromtimestamp(state.first_at, UTC)
    level = outlook.kilograms(outlook.span(state.level, state.level_var))
    return seen.Trend("weight", since, NOW, *level, *outlook.weight_rate(state).percent)


@outside(
    "4.3% in the first week of a diet and 0.7% in each after it: no alarm, in that week or later",
    source="Dugdale et al. 2010, EVJ (5 pony mares, 12 weeks)",
    status=WITHIN_TOLERANCE,
)
def test_the_first_week_of_a_diet_is_left_out() -> None:
    start = NOW - 11 * WEEK
    kg = [300.0, 300.0 * 0.957]
    while len(kg) < 12:
        kg.append(kg[-1] * 0.993)
    plan = seen.Plan(start, "weight", -0.7)
    # The whole course joined has the gut's week in it, and is not judged.
    joined = facts(weight_trend=weighed(*kg), plan=plan)
    assert "losing_weight" not in risk.judged(joined)
    # From the eighth day on it is, and nothing is found.
    after = facts(weight_trend=weighed(*kg, resets=baseline.of_diets([start])), plan=plan)
    assert "losing_weight" in risk.judged(after)
    assert found("losing_weight", after) is None
    # Within the first week a fast trend says nothing.
    fast = trend("weight", -3.0, 0.5, level=300, since=NOW - 3 * DAY)
    fresh = facts(weight_trend=fast, plan=seen.Plan(NOW - 3 * DAY, "weight", -0.7))
    assert found("losing_weight", fresh) is None
    assert found("losing_weight", replace(fresh, plan=None)) is not None


def test_a_change_of_instrument_is_no_loss() -> None:
    """A tape that reads 8% less, and nothing read by both: the trend begins anew with it."""
    kg = [500.0] * 6 + [460.0] * 4
    uses = [
        baseline.Use(NOW - n * WEEK, "weighbridge" if n > 3 else "weigh_tape:2")
        for n in range(len(kg))
    ]
    assert found("losing_weight", facts(weight_trend=weighed(*kg))) is not None
    parted = facts(weight_trend=weighed(*kg, resets=baseline.of_instruments(uses)))
    assert "losing_weight" in risk.judged(parted)
    assert found("losing_weight", parted) is None


def test_a_foaling_is_left_out_of_every_trend() -> None:
    fast = trend("weight", -3.0, 0.5, level=500)
    told = facts(weight_trend=fast, score_trend=trend("five", -0.6, 0.3))
    assert names(told) == {"losing_weight", "losing_score"}
    foaled = replace(told, foaled_at=NOW - 50 * DAY)
    assert names(foaled) == set()
    assert not risk.judged(foaled) & {"losing_weight", "losing_score", "gaining_fast"}
    # Before the baseline began it matters to nothing.
    assert names(replace(told, foaled_at=NOW - 120 * DAY)) == names(told)


@outside(
    "a fall of a point of nine within 30 days that nobody planned",
    source="composite of rates of loss",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(
    ("scale", "rate", "half", "is_found"),
    [
        ("nine", -1.0, 0.9, True),
        ("nine", -0.9, 0.1, False),
        ("nine", -1.0, 1.1, False),
        ("five", -0.5, 0.4, True),
        ("five", -0.45, 0.1, False),
        ("donkey", -0.5, 0.4, True),
    ],
)
def test_a_fast_fall_of_the_score(scale: str, rate: float, half: float, is_found: bool) -> None:
    told = facts(score_trend=trend(scale, rate, half))
    finding = found("losing_score", told)
    assert (finding is not None) == is_found


@pytest.mark.parametrize(
    ("plan", "is_found"),
    [
        (("five", -0.6), False),
        (("five", -0.55), False),  # nearly what was asked for
        (("five", -0.3), True),
        (("five", 0.2), True),
        (("nine", -1.5), True),  # the scales are never converted
        (("weight", -0.7), True),  # nobody weighs it: nothing says how fast it goes
    ],
)
def test_a_plan_excuses_a_fall_of_the_score_no_further_than_it_asks(
    plan: tuple[str, float], is_found: bool
) -> None:
    told = facts(score_trend=trend("five", -0.6, 0.3), plan=seen.Plan(NOW - 9 * DAY, *plan))
    assert (found("losing_score", told) is not None) == is_found
    slow = replace(told, score_trend=trend("five", -0.4, 0.1))
    assert found("losing_score", slow) is None
    weighs = replace(told, weight_trend=trend("weight", -0.7, 0.1, since=NOW - 2 * DAY))
    assert (found("losing_score", weighs) is not None) == (is_found and plan[0] != "weight")


@pytest.mark.parametrize("bred", [IN_FOAL, IN_MILK, breeding.Bred(in_foal="perhaps")])
def test_a_mare_in_foal_or_in_milk_is_told_of_sooner(bred: breeding.Bred) -> None:
    by_weight = facts(weight_trend=trend("weight", -0.6, 0.5, level=500))
    by_score = facts(score_trend=trend("nine", -0.5, 0.4))
    for told in (by_weight, by_score):
        assert names(told) == set()
        finding = found("loss_in_foal_or_milk", replace(told, bred=bred))
        assert finding is not None
        assert (finding.severity, finding.advice.key) == ("act", "call_vet_today_mare")
        assert finding.what_not_to_do.key == "never_starve_a_mare"
    perhaps = facts(weight_trend=trend("weight", -0.6, 0.7, level=500), bred=bred)
    assert found("loss_in_foal_or_milk", perhaps) is None


def test_what_a_mare_lost_by_foaling_is_no_alarm() -> None:
    """Foal, fluids and afterbirth weigh 10 to 13% of her (from memory): a new baseline."""
    told = facts(weight_trend=trend("weight", -4.0, 1.0, level=480), bred=IN_MILK)
    assert found("loss_in_foal_or_milk", replace(told, foaled_at=NOW - 9 * DAY)) is None


@outside(
    "weight gain more than doubled the rate of laminitis, so a fast one is told",
    source="Pollard et al. 2019, BMC Veterinary Research, 10.1186/s12917-019-1798-8",
    status=EXACT,
)
@outside(
    "ponies fed to appetite gained 0.8 kg a day in summer: for one of 250 kg, fast",
    source="Dugdale et al. 2011, Veterinary Journal 190:329-337",
    status=EXACT,
)
def test_a_fast_gain_is_watched() -> None:
    rate = 100 * 0.8 * 7 / 250
    finding = found("gaining_fast", facts(weight_trend=trend("weight", rate, 1.0, level=250)))
    assert finding is not None
    assert finding.severity == "watch"
    assert found("gaining_fast", facts(weight_trend=trend("weight", 1.2, 0.3, level=250))) is None
    assert found("gaining_fast", facts(score_trend=trend("five", 0.5, 0.4))) is not None
    assert found("gaining_fast", facts(score_trend=trend("five", 0.5, 0.6))) is None


def test_growth_a_foal_and_what_a_thin_animal_regains_are_no_fast_gain() -> None:
    told = facts(five(6, 6, 6), weight_trend=trend("weight", 2.0, 0.5), edges=edges("2.0", "3.0"))
    young = life_stage.LifeStage(life_stage.Stage.YEARLING, life_stage.Stage.YEARLING)
    assert found("gaining_fast", told) is not None
    for other in (
        replace(told, stage=young),
        replace(told, use="youngster"),
        replace(told, bred=breeding.Bred(in_foal="perhaps")),
        replace(told, palpated=five(3, 3, 4)),
    ):
        assert found("gaining_fast", other) is None
