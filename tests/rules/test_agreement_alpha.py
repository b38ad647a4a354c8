"""Krippendorff's alpha against his own data and against the krippendorff package."""

from typing import Any

import numpy as np
import pytest

from scoring.rules import agreement_alpha, agreement_scores, checked
from scoring.rules.agreement_alpha import INTERVAL, NOMINAL, ORDINAL
from tests.oracles import krippendorff
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside
from tests.rules.agreement_sets import HALF, KRIPPENDORFF

DISTANCES: list[Any] = [NOMINAL, ORDINAL, INTERVAL]
EVERY_DISTANCE = pytest.mark.parametrize("distance", DISTANCES)
PACKAGE = "krippendorff package, run beside ours"


def invented(seed: int, horses: int, raters: int, missing: float) -> np.ndarray:
    """Return invented scores in half points, so large a share of them missing."""
    rng = np.random.default_rng(seed)
    level = rng.normal(3, 0.8, (horses, 1)) + rng.normal(0, 0.2, (1, raters))
    scores = np.clip(np.round(2 * (level + rng.normal(0, 0.4, (horses, raters)))) / 2, 0, 5)
    return np.where(rng.random((horses, raters)) < missing, np.nan, scores)


CASES = {
    "Krippendorff": np.array(KRIPPENDORFF, float),
    "half points": np.array(HALF),
    "one in three missing": invented(1, 60, 5, 0.33),
    "nine in ten missing": invented(2, 200, 9, 0.9),
    "none missing": invented(3, 25, 3, 0.0),
    "a rater who scored nothing": np.column_stack((invented(4, 9, 3, 0.1), [np.nan] * 9)),
    "two horses": np.array([[1.0, 1.5], [3.0, 3.0]]),
    "of no scale": np.array([[0.13, 0.71, np.nan], [12.5, 11.9, 13.1], [-4.2, -3.3, 0.4]]),
}


@pytest.mark.parametrize(
    ("distance", "printed"), [(NOMINAL, 0.743), (ORDINAL, 0.815), (INTERVAL, 0.849)]
)
@outside(
    "Krippendorff's alpha of his 12 units and 4 observers with missing data, to three places",
    source="Krippendorff 2011, Computing Krippendorff's alpha-reliability",
    status=FROM_MEMORY,
)
def test_alpha_is_that_of_his_example(distance: str, printed: float) -> None:
    assert round(agreement_alpha.alpha(KRIPPENDORFF, distance), 3) == printed


@EVERY_DISTANCE
@pytest.mark.parametrize("scores", CASES.values(), ids=CASES)
@outside(
    "alpha, nominal, ordinal and interval, on eight tables with and without gaps, to 1e-12",
    source=PACKAGE,
    status=WITHIN_TOLERANCE,
)
def test_alpha_is_that_of_the_package(scores: np.ndarray, distance: Any) -> None:
    theirs = krippendorff.alpha(scores.T, level_of_measurement=distance)
    assert agreement_alpha.alpha(scores, distance) == pytest.approx(theirs, rel=1e-12, abs=1e-12)


@EVERY_DISTANCE
@outside(
    "alpha: the percentile interval of a bootstrap over horses, draw for draw, to 1e-9",
    source=PACKAGE,
    status=WITHIN_TOLERANCE,
)
def test_the_interval_is_that_of_the_package_bootstrapped(distance: Any) -> None:
    scores, rng = invented(6, 30, 4, 0.2), np.random.default_rng(8)
    found = agreement_alpha.interval(
        scores, distance, generator=np.random.default_rng(8), draws=200, confidence=0.9
    )
    paired = scores[(~np.isnan(scores)).sum(axis=1) >= 2]
    drawn = [paired[rng.integers(0, len(paired), len(paired))] for _ in range(200)]
    theirs = [krippendorff.alpha(each.T, level_of_measurement=distance) for each in drawn]
    low, high = np.quantile(theirs, [0.05, 0.95])
    assert found.estimate.low == pytest.approx(low, rel=1e-9)
    assert found.estimate.high == pytest.approx(high, rel=1e-9)
    assert (found.draws, found.undefined) == (200, 0)


@pytest.mark.parametrize(
    ("distance", "worked_out"), [(NOMINAL, 0.2645), (ORDINAL, 0.8407), (INTERVAL, 0.8362)]
)
def test_the_invented_half_points_are_as_worked_out_apart(distance: str, worked_out: float) -> None:
    assert round(agreement_alpha.alpha(HALF, distance), 4) == worked_out


def test_the_last_digits_of_his_example_are_as_worked_out_apart() -> None:
    found = [agreement_alpha.alpha(KRIPPENDORFF, each) for each in DISTANCES]
    assert [round(each, 6) for each in found] == [0.743421, 0.815388, 0.849107]


def test_an_interval_holds_the_truth_about_as_often_as_it_says() -> None:
    """150 invented yards of 40 horses; the truth is of 20,000 horses made alike."""

    def made(rng: np.random.Generator, horses: int) -> np.ndarray:
        off = rng.normal(0, 0.4, (horses, 3))
        return np.round(2 * (rng.normal(3, 0.7, (horses, 1)) + off)) / 2

    rng = np.random.default_rng(10)
    truth = agreement_alpha.alpha(made(rng, 20_000))
    found = [
        agreement_alpha.interval(made(rng, 40), generator=rng, draws=150, confidence=0.9)
        for _ in range(150)
    ]
    held = sum(
        1 for each in found if (each.estimate.low or 0) <= truth <= (each.estimate.high or 0)
    )
    assert 0.8 < held / len(found) <= 0.97


def test_the_same_generator_gives_the_same_interval() -> None:
    one, two, other = (
        agreement_alpha.interval(HALF, generator=np.random.default_rng(seed), draws=100)
        for seed in (1, 1, 2)
    )
    assert one == two != other
    assert one.estimate.value == agreement_alpha.alpha(HALF)


def test_draws_of_one_level_only_are_counted_apart() -> None:
    nearly_alike: agreement_scores.Table = [[3, 3], [3, 3], [3, 3], [3, 3.5]]
    found = agreement_alpha.interval(nearly_alike, generator=np.random.default_rng(3), draws=400)
    assert found.draws + found.undefined == 400
    assert 60 < found.undefined < 190  # (3/4)**4 of them, 127


def test_full_agreement_is_1_and_has_no_interval() -> None:
    alike: agreement_scores.Table = [[2, 2, None], [3, None, 3], [4, 4, 4]]
    for distance in DISTANCES:
        found = agreement_alpha.interval(alike, distance, generator=np.random.default_rng(1))
        assert found.estimate == agreement_scores.Estimate(1.0)


def test_an_order_counts_where_it_is_told() -> None:
    near, far = [[1, 2], [2, 2], [5, 5], [1, 1]], [[1, 5], [2, 2], [5, 5], [1, 1]]
    for distance in (ORDINAL, INTERVAL):
        assert agreement_alpha.alpha(near, distance) > agreement_alpha.alpha(far, distance)


@EVERY_DISTANCE
def test_scores_that_are_all_the_same_are_refused(distance: str) -> None:
    for score in (3, 0.1 + 0.2):
        with pytest.raises(agreement_scores.Undefined) as refused:
            agreement_alpha.alpha([[score, score], [score, None], [score, score]], distance)
        assert refused.value.field == "scores"


@pytest.mark.parametrize(
    ("scores", "found"),
    [
        ([], 0),
        ([[3, 4]], 1),
        ([[3], [4]], 0),
        ([[3, None], [None, 4], [3, 3]], 1),
        ([[None, None]] * 3, 0),
    ],
)
def test_too_few_horses_are_refused(scores: agreement_scores.Table, found: int) -> None:
    with pytest.raises(agreement_scores.TooFew) as refused:
        agreement_alpha.alpha(scores)
    assert (refused.value.field, refused.value.found, refused.value.least) == ("horses", found, 2)


@pytest.mark.parametrize(
    ("field", "given"),
    [
        ("distance", {"distance": "ratio"}),
        ("scores", {"scores": [[1, 2], [3]]}),
        ("draws", {"draws": 99}),
        ("confidence", {"confidence": 0.0}),
    ],
)
def test_what_cannot_be_is_refused_by_name(field: str, given: dict[str, object]) -> None:
    call = {"scores": HALF, "generator": np.random.default_rng(1), **given}
    with pytest.raises(checked.OutOfRange) as refused:
        agreement_alpha.interval(**call)  # type: ignore[arg-type]
    assert refused.value.field == field
