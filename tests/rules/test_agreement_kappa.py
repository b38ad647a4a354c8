"""Kappa against Cohen's table, scikit-learn, statsmodels and Lin's concordance."""

import math
from collections.abc import Sequence

import numpy as np
import pytest

from scoring.rules import agreement_kappa, agreement_scores, checked
from scoring.rules.agreement_kappa import LINEAR, NONE, QUADRATIC, Weights
from tests.oracles import inter_rater, metrics
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside
from tests.rules.agreement_sets import COHEN, COHEN_WEIGHTS, HALF_A, HALF_B

FIVE = agreement_kappa.grid(0, 5, 0.5)
COHEN_1968 = "Cohen 1968, Psychological Bulletin 70:213"


def by_two(seed: int, count: int = 60) -> tuple[np.ndarray, np.ndarray]:
    """Return invented scores in half points by two assessors, the second higher."""
    rng = np.random.default_rng(seed)
    level = rng.normal(3, 0.9, count)
    both = level + np.array([[0.0], [0.25]]) + rng.normal(0, 0.4, (2, count))
    one, two = np.clip(np.round(2 * both) / 2, 0, 5)
    return one, two


def lin(first: Sequence[float], second: Sequence[float]) -> float:
    """Return Lin's concordance correlation coefficient, with n as divisor."""
    one, two = np.asarray(first), np.asarray(second)
    shared = np.mean((one - one.mean()) * (two - two.mean()))
    return float(2 * shared / (one.var() + two.var() + (one.mean() - two.mean()) ** 2))


@pytest.mark.parametrize(("weights", "printed"), [(NONE, 0.492), (COHEN_WEIGHTS, 0.348)])
@outside(
    "kappa and weighted kappa of the printed table of 200, to its three places",
    source=COHEN_1968,
    status=FROM_MEMORY,
)
def test_kappa_is_that_of_cohens_table(weights: Weights, printed: float) -> None:
    found = agreement_kappa.of_counts(COHEN, weights=weights)
    assert found.count == 200
    assert round(found.estimate.value, 3) == printed


def test_cohens_table_is_as_worked_out_apart() -> None:
    found = [agreement_kappa.of_counts(COHEN, weights=each) for each in (LINEAR, QUADRATIC)]
    assert [round(each.estimate.value, 4) for each in found] == [0.4737, 0.4545]


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("weights", [NONE, LINEAR, QUADRATIC])
@outside(
    "kappa, linear and quadratic, on invented half points, to 1e-12",
    source="scikit-learn, cohen_kappa_score, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_kappa_is_that_of_scikit_learn(weights: str, seed: int) -> None:
    one, two = by_two(seed)
    levels = range(len(FIVE))
    theirs = metrics.cohen_kappa_score(
        (2 * one).astype(int),
        (2 * two).astype(int),
        labels=list(levels),
        weights=None if weights == NONE else weights,
    )
    found = agreement_kappa.kappa(one, two, weights=weights, levels=FIVE)
    assert found.estimate.value == pytest.approx(theirs, rel=1e-12)
    without = agreement_kappa.kappa(one, two, weights=weights)
    assert without.estimate.value == pytest.approx(theirs, rel=1e-12)


TABLES = {
    "Cohen": COHEN,
    "invented": [[8, 3, 1, 0], [2, 11, 4, 1], [0, 6, 9, 2], [1, 0, 3, 7]],
    "with an empty level": [[5, 1, 0], [2, 9, 0], [0, 0, 0]],
}


@pytest.mark.parametrize("weights", [NONE, LINEAR, QUADRATIC, "of our own"])
@pytest.mark.parametrize("counts", TABLES.values(), ids=TABLES)
@outside(
    "kappa with its standard error and 95% interval, weighted and not, to 1e-9",
    source="statsmodels, cohens_kappa, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_the_standard_error_is_that_of_statsmodels(counts: list[list[int]], weights: str) -> None:
    own = np.array([[0, 1, 3, 4], [1, 0, 6, 2], [3, 6, 0, 1], [4, 2, 1, 0]])[: len(counts)]
    own = own[:, : len(counts)]
    table = np.array(counts)
    if weights == "of our own":
        theirs = inter_rater.cohens_kappa(table, weights=own / own.max())
        found = agreement_kappa.of_counts(counts, weights=own.tolist())
    else:
        theirs = inter_rater.cohens_kappa(table, wt=None if weights == NONE else weights)
        found = agreement_kappa.of_counts(counts, weights=weights)
    assert found.estimate.value == pytest.approx(theirs.kappa, rel=1e-9)
    assert found.standard_error == pytest.approx(math.sqrt(theirs.var_kappa), rel=1e-9)
    assert found.estimate.low == pytest.approx(theirs.kappa_low, rel=1e-9)
    assert found.estimate.high == pytest.approx(min(1, theirs.kappa_upp), rel=1e-9)


@outside(
    "quadratic kappa of the half points is the concordance correlation with n as divisor",
    source="Lin 1989, Biometrics 45:255",
    status=FROM_MEMORY,
)
def test_quadratic_kappa_is_lins_concordance() -> None:
    found = agreement_kappa.kappa(HALF_A, HALF_B, levels=FIVE).estimate.value
    assert found == pytest.approx(lin(HALF_A, HALF_B), rel=1e-12)
    assert found == pytest.approx(0.828571, abs=5e-7)


@pytest.mark.parametrize(
    ("weights", "worked_out"), [(NONE, 0.2308), (LINEAR, 0.5890), (QUADRATIC, 0.8286)]
)
def test_the_invented_half_points_are_as_worked_out_apart(weights: str, worked_out: float) -> None:
    found = agreement_kappa.kappa(HALF_A, HALF_B, weights=weights, levels=FIVE)
    assert round(found.estimate.value, 4) == worked_out
    assert agreement_kappa.share_within(HALF_A, HALF_B, 0) == 0.4
    assert agreement_kappa.share_within(HALF_A, HALF_B, 0.5) == 1


def test_an_interval_holds_the_truth_as_often_as_it_says() -> None:
    """2,000 draws of 100 horses from Cohen's shares, whose quadratic kappa is known."""
    shares = np.array(COHEN) / 200
    truth = agreement_kappa.of_counts(COHEN).estimate.value
    drawn = np.random.default_rng(7).multinomial(100, shares.ravel(), 2000).reshape(-1, 3, 3)
    found = [agreement_kappa.of_counts(each, confidence=0.8).estimate for each in drawn]
    held = sum(1 for each in found if (each.low or 0) <= truth <= (each.high or 0))
    assert 0.76 < held / len(found) < 0.84


def test_a_horse_that_either_did_not_score_is_left_out() -> None:
    one, two = [2, None, 3, 4, 2.5], [2.5, 3, None, 4, 2.5]
    found = agreement_kappa.kappa(one, two)
    assert found == agreement_kappa.kappa([2, 4, 2.5], [2.5, 4, 2.5])
    assert found.count == 3


def test_raters_who_never_differ_have_kappa_1_and_no_interval() -> None:
    for weights in (NONE, LINEAR, QUADRATIC):
        found = agreement_kappa.kappa([2, 3, 3, 4], [2, 3, 3, 4], weights=weights)
        assert found.estimate == agreement_scores.Estimate(1.0)
        assert found.standard_error == 0


def test_raters_who_always_differ_have_kappa_of_minus_1() -> None:
    found = agreement_kappa.kappa([2, 3, 2, 3], [3, 2, 3, 2], weights=NONE)
    assert found.estimate.value == -1


def test_one_level_only_is_refused() -> None:
    with pytest.raises(agreement_scores.Undefined) as refused:
        agreement_kappa.kappa([3, 3, 3], [3, 3, 3], levels=FIVE)
    assert refused.value.field == "scores"


@pytest.mark.parametrize(
    ("one", "two", "found"),
    [([], [], 0), ([3], [3], 1), ([None, None], [3, 4], 0), ([2, None, 3], [None, 2, 3], 1)],
)
def test_too_few_pairs_are_refused(
    one: agreement_scores.Scores, two: agreement_scores.Scores, found: int
) -> None:
    with pytest.raises(agreement_scores.TooFew) as refused:
        agreement_kappa.kappa(one, two)
    assert (refused.value.field, refused.value.found, refused.value.least) == ("pairs", found, 2)


@pytest.mark.parametrize(
    ("field", "given"),
    [
        ("second", {"second": [2]}),
        ("second", {"second": [2, 3.2], "levels": FIVE}),
        ("first", {"first": [2, 3.2], "levels": FIVE}),
        ("first", {"first": [[2], [3]], "second": [[2], [3]]}),
        ("levels", {"weights": COHEN_WEIGHTS}),
        ("levels", {"levels": [2, 2, 3]}),
        ("levels", {"levels": []}),
        ("weights", {"weights": "cubic"}),
        ("weights", {"weights": [[0, 1], [1, 0]], "levels": [2, 2.5, 3]}),
        ("weights", {"weights": [[0, -1], [1, 0]], "levels": [2, 3]}),
        ("weights", {"weights": [[1, 1], [1, 0]], "levels": [2, 3]}),
        ("weights", {"weights": [[0, 1]], "levels": [2, 3]}),
        ("confidence", {"confidence": 1.0}),
    ],
)
def test_what_cannot_be_is_refused_by_name(field: str, given: dict[str, object]) -> None:
    call = {"first": [2, 3], "second": [3, 2], **given}
    one, two = call.pop("first"), call.pop("second")
    with pytest.raises(checked.OutOfRange) as refused:
        agreement_kappa.kappa(one, two, **call)  # type: ignore[arg-type]
    assert refused.value.field == field


def test_counts_that_cannot_be_are_refused_by_name() -> None:
    given: list[list[list[float]]] = [[[1, 2]], [[1, -2], [3, 4]], [], [[1, math.nan], [3, 4]]]
    for counts in given:
        with pytest.raises(checked.OutOfRange) as refused:
            agreement_kappa.of_counts(counts)
        assert refused.value.field == "counts"
    with pytest.raises(checked.OutOfRange) as refused:
        agreement_kappa.of_counts(COHEN, levels=[1, 2])
    assert refused.value.field == "levels"
    with pytest.raises(agreement_scores.TooFew):
        agreement_kappa.of_counts([[0, 0], [0, 1]])


def test_a_grid_is_a_scales_levels() -> None:
    assert agreement_kappa.grid(1, 9, 1) == tuple(range(1, 10))
    assert FIVE == (0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5)
    for given in ((0, 5, 0.3), (5, 0, 0.5), (0, 5, 0), (0, math.inf, 1)):
        with pytest.raises(checked.OutOfRange):
            agreement_kappa.grid(*given)


def test_a_share_needs_a_pair() -> None:
    with pytest.raises(agreement_scores.TooFew):
        agreement_kappa.share_within([None], [3], 0.5)
    with pytest.raises(checked.OutOfRange):
        agreement_kappa.share_within([3], [3], -1)
