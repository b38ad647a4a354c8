"""Limits of agreement and repeatability against the peak flow data of 1986, and by simulation."""

import math

import numpy as np
import pytest

from scoring.rules import agreement_limits, agreement_scores, checked
from tests.oracles import pandas, pingouin, stats
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside
from tests.rules.agreement_sets import HALF_A, HALF_B, MINI_1, MINI_2, WRIGHT_1, WRIGHT_2

LANCET = "Bland and Altman 1986, Lancet i:307"


@outside(
    "limits of agreement of two flow meters: mean -2.1, SD 38.8, +-2 SD -79.7 to 75.5, to 0.1",
    source=LANCET,
    status=FROM_MEMORY,
)
def test_the_limits_are_those_of_the_paper() -> None:
    found = agreement_limits.limits(WRIGHT_1, MINI_1, multiplier=2)
    assert found.pairs == 17
    assert found.bias.value == pytest.approx(-2.1, abs=0.05)
    assert found.sd == pytest.approx(38.8, abs=0.05)
    # The paper works on with the rounded mean and SD.
    assert found.lower.value == pytest.approx(-79.7, abs=0.1)
    assert found.upper.value == pytest.approx(75.5, abs=0.1)


@outside(
    "95% interval of the mean difference of two flow meters, -22.0 to 17.8, to 0.1",
    source=LANCET,
    status=FROM_MEMORY,
)
def test_the_interval_of_the_bias_is_that_of_the_paper() -> None:
    bias = agreement_limits.limits(WRIGHT_1, MINI_1, multiplier=2).bias
    assert (bias.low, bias.high) == pytest.approx((-22.0, 17.8), abs=0.1)


@outside(
    "95% intervals of the limits, -114.3 to -45.1 and 40.9 to 110.1, to 3% of their width",
    source=LANCET,
    status=FROM_MEMORY,
)
def test_the_intervals_of_the_limits_are_about_those_of_the_paper() -> None:
    """The paper's standard error, sqrt(3 / n) times the SD, is ours for many pairs."""
    found = agreement_limits.limits(WRIGHT_1, MINI_1, multiplier=2)
    near = 0.03 * (110.1 - 40.9)
    assert found.lower.low == pytest.approx(-114.3, abs=near)
    assert found.lower.high == pytest.approx(-45.1, abs=near)
    assert found.upper.low == pytest.approx(40.9, abs=near)
    assert found.upper.high == pytest.approx(110.1, abs=near)


@pytest.mark.parametrize(
    ("one", "two", "printed"), [(WRIGHT_1, WRIGHT_2, 43.2), (MINI_1, MINI_2, 56.4)]
)
@outside(
    "coefficient of repeatability of either flow meter at 2 SD, 43.2 and 56.4, to 0.1",
    source=LANCET,
    status=FROM_MEMORY,
)
def test_the_repeatability_is_that_of_the_paper(
    one: list[int], two: list[int], printed: float
) -> None:
    found = agreement_limits.repeatability(list(zip(one, two, strict=True)), multiplier=2)
    assert found.coefficient == pytest.approx(printed, abs=0.1)
    assert (found.horses, found.df) == (17, 17)


def test_the_flow_meters_are_as_worked_out_apart() -> None:
    found = agreement_limits.limits(WRIGHT_1, MINI_1, multiplier=1.96)
    limits = found.bias.value, found.sd, found.lower.value, found.upper.value
    assert [round(each, 3) for each in limits[:2]] == [-2.118, 38.765]
    assert [round(each, 2) for each in limits[2:]] == [-78.10, 73.86]
    pairs = zip((WRIGHT_1, MINI_1), (WRIGHT_2, MINI_2), strict=True)
    within = [
        agreement_limits.repeatability(list(zip(*each, strict=True)), multiplier=2).within_sd
        for each in pairs
    ]
    assert [round(each, 2) for each in within] == [15.31, 19.91]


@outside(
    "Student's interval of the mean difference, 50 to 99.9%, to 1e-9",
    source="scipy.stats.t, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_the_interval_of_the_bias_is_students() -> None:
    off = np.subtract(WRIGHT_1, MINI_1)
    for confidence in (0.5, 0.8, 0.95, 0.999):
        found = agreement_limits.limits(
            WRIGHT_1, MINI_1, multiplier=1.96, confidence=confidence
        ).bias
        theirs = stats.t.interval(confidence, 16, loc=off.mean(), scale=stats.sem(off))
        assert (found.low, found.high) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.filterwarnings("ignore:The inplace keyword")  # within pingouin
@pytest.mark.parametrize("missing", [0.0, 0.3])
@outside(
    "within-rater SD of two to four replicates: the residual of a one-way analysis of variance",
    source="pingouin.anova, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_the_within_sd_is_that_of_an_analysis_of_variance(missing: float) -> None:
    rng = np.random.default_rng(4)
    scores = np.round(2 * (rng.normal(3, 1, (15, 1)) + rng.normal(0, 0.4, (15, 4)))) / 2
    scores[:, 2:][rng.random((15, 2)) < missing] = np.nan
    long = pandas.DataFrame(
        [(horse, score) for (horse, _), score in np.ndenumerate(scores)],
        columns=["horse", "score"],
    ).dropna()
    theirs = pingouin.anova(long, dv="score", between="horse", detailed=True)
    found = agreement_limits.repeatability(scores, multiplier=1.96)
    assert found.df == theirs.loc[1, "DF"]
    assert found.within_sd == pytest.approx(math.sqrt(theirs.loc[1, "MS"]), rel=1e-9)
    assert found.coefficient == pytest.approx(1.96 * math.sqrt(2) * found.within_sd)


@pytest.mark.parametrize("pairs", [12, 40])
def test_the_intervals_hold_the_truth_about_as_often_as_they_say(pairs: int) -> None:
    rng = np.random.default_rng(6)
    held = [0, 0, 0]
    for _ in range(2000):
        found = agreement_limits.limits(
            rng.normal(0.3, 1, pairs), np.zeros(pairs), multiplier=1.96, confidence=0.9
        )
        told = found.lower, found.bias, found.upper
        for place, truth in enumerate((0.3 - 1.96, 0.3, 0.3 + 1.96)):
            held[place] += (told[place].low or 0) <= truth <= (told[place].high or 0)
    assert all(0.87 < each / 2000 < 0.93 for each in held)


def test_the_invented_half_points_are_as_worked_out_apart() -> None:
    found = agreement_limits.limits(HALF_A, HALF_B, multiplier=1.96)
    assert round(found.bias.value, 4) == -0.10
    assert round(found.sd, 4) == 0.3944
    assert (round(found.lower.value, 3), round(found.upper.value, 3)) == (-0.873, 0.673)
    error = agreement_limits.single_score_sd(found.sd)
    assert round(error, 4) == 0.2789
    least = agreement_limits.minimum_detectable_change(error, multiplier=1.96)
    assert least == pytest.approx(1.96 * found.sd)


@outside(
    "minimum detectable change is 1.96 times the square root of 2 times one score's error",
    source="Weir 2005, Journal of Strength and Conditioning Research 19:231",
    status=FROM_MEMORY,
)
def test_the_least_change_that_can_be_told_is_as_in_the_paper() -> None:
    assert agreement_limits.minimum_detectable_change(1.0, multiplier=1.96) == pytest.approx(
        2.77, abs=0.005
    )


def test_pairs_that_lack_a_score_are_left_out() -> None:
    found = agreement_limits.limits([2, None, 3, 4], [2.5, 3, None, 4], multiplier=1.96)
    assert found == agreement_limits.limits([2, 4], [2.5, 4], multiplier=1.96)
    assert found.pairs == 2


@pytest.mark.parametrize("off", [0.0, 0.5, 0.1])
def test_pairs_that_all_differ_alike_have_limits_of_no_width(off: float) -> None:
    one = [2.0, 3.0, 3.3, 4.5]
    found = agreement_limits.limits(one, [each - off for each in one], multiplier=1.96)
    assert found.sd == 0
    for each in (found.lower, found.bias, found.upper):
        assert each.value == pytest.approx(off)
        assert (each.low, each.high) == (None, None)


def test_one_horse_scored_twice_has_a_repeatability() -> None:
    found = agreement_limits.repeatability([[3, 3.5], [2, None]], multiplier=2)
    assert (found.horses, found.df) == (1, 1)
    assert found.within_sd == pytest.approx(0.5 / math.sqrt(2))
    assert found.coefficient == pytest.approx(1.0)
    alike = agreement_limits.repeatability([[3, 3], [2, 2]], multiplier=2)
    assert (alike.within_sd, alike.coefficient) == (0, 0)


@pytest.mark.parametrize(
    ("one", "two", "found"), [([], [], 0), ([3], [3], 1), ([None, None], [1, 2], 0)]
)
def test_too_few_pairs_are_refused(
    one: agreement_scores.Scores, two: agreement_scores.Scores, found: int
) -> None:
    with pytest.raises(agreement_scores.TooFew) as refused:
        agreement_limits.limits(one, two, multiplier=1.96)
    assert (refused.value.field, refused.value.found, refused.value.least) == ("pairs", found, 2)


@pytest.mark.parametrize("table", [[], [[3], [4]], [[3, None], [None, 4]]])
def test_no_horse_scored_twice_is_refused(table: agreement_scores.Table) -> None:
    with pytest.raises(agreement_scores.TooFew) as refused:
        agreement_limits.repeatability(table, multiplier=2)
    assert (refused.value.field, refused.value.least) == ("horses", 1)


@pytest.mark.parametrize(
    ("field", "call"),
    [
        ("multiplier", lambda: agreement_limits.limits([1, 2], [2, 1], multiplier=0)),
        ("multiplier", lambda: agreement_limits.repeatability([[1, 2]], multiplier=math.nan)),
        ("error_sd", lambda: agreement_limits.minimum_detectable_change(-1, multiplier=2)),
        ("multiplier", lambda: agreement_limits.minimum_detectable_change(1, multiplier=11)),
        ("sd_of_differences", lambda: agreement_limits.single_score_sd(math.inf)),
        (
            "confidence",
            lambda: agreement_limits.limits([1, 2], [2, 1], multiplier=2, confidence=1),
        ),
        ("second", lambda: agreement_limits.limits([1, 2], [2], multiplier=2)),
        ("first", lambda: agreement_limits.limits(["a"], [2], multiplier=2)),  # type: ignore[list-item]
    ],
)
def test_what_cannot_be_is_refused_by_name(field: str, call: object) -> None:
    assert callable(call)
    with pytest.raises(checked.OutOfRange) as refused:
        call()
    assert refused.value.field == field
