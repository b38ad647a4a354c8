"""Intraclass correlation against Shrout and Fleiss's table and against pingouin."""

from dataclasses import astuple
from typing import Any

import numpy as np
import pytest

from scoring.rules import agreement_icc, agreement_scores, checked
from scoring.rules.agreement_icc import Form
from tests.oracles import pandas, pingouin
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside
from tests.rules.agreement_sets import HALF, SHROUT_FLEISS

PINGOUIN = "pingouin.intraclass_corr, run beside ours"
# As pingouin names the forms.
NAMES = {
    Form.ONE_SINGLE: "ICC(1,1)",
    Form.TWO_SINGLE: "ICC(A,1)",
    Form.THREE_SINGLE: "ICC(C,1)",
    Form.ONE_MEAN: "ICC(1,k)",
    Form.TWO_MEAN: "ICC(A,k)",
    Form.THREE_MEAN: "ICC(C,k)",
}


def invented(seed: int, horses: int, raters: int, apart: float, high: float) -> np.ndarray:
    """Return invented scores in half points, by how different horses and raters are."""
    rng = np.random.default_rng(seed)
    level, bias = rng.normal(3, apart, (horses, 1)), rng.normal(0, high, (1, raters))
    return np.round(2 * (level + bias + rng.normal(0, 0.4, (horses, raters)))) / 2


CASES = {
    "Shrout and Fleiss": np.array(SHROUT_FLEISS, float),
    "half points": np.array(HALF),
    "twenty by two hundred": invented(1, 200, 20, 0.7, 0.3),
    "like horses": invented(2, 12, 4, 0.1, 0.2),
    "raters far apart": invented(3, 8, 5, 0.8, 1.5),
    "three by two": np.array([[2.0, 2.5], [4.0, 3.0], [3.0, 3.5]]),
    "three horses, nine raters": invented(4, 3, 9, 0.5, 0.3),
    "worse than chance": np.array([[1.0, 3, 2], [3, 1, 2.5], [2.5, 2, 1], [3, 3.5, 1.5]]),
}


def theirs(scores: np.ndarray, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Return pingouin's table, its intervals with all digits."""
    monkeypatch.setitem(pingouin.options, "round.column.CI95", None)
    rows = [(i, j, score) for (i, j), score in np.ndenumerate(scores)]
    long = pandas.DataFrame(rows, columns=["horse", "rater", "score"])
    found = pingouin.intraclass_corr(long, targets="horse", raters="rater", ratings="score")
    return found.set_index("Type")


@outside(
    "ICC: all six forms of the printed table, to its two places",
    source="Shrout and Fleiss 1979, Psychological Bulletin 86:420, tables 2 and 4",
    status=FROM_MEMORY,
)
def test_the_six_forms_are_those_of_the_paper() -> None:
    found = [agreement_icc.icc(SHROUT_FLEISS, form).value for form in Form]
    assert [round(each, 2) for each in found] == [0.17, 0.29, 0.71, 0.44, 0.62, 0.91]


@outside(
    "ICC: mean squares of the printed table, to two places",
    source="Shrout and Fleiss 1979, Psychological Bulletin 86:420, table 3",
    status=FROM_MEMORY,
)
def test_the_mean_squares_are_those_of_the_paper() -> None:
    found = agreement_icc.mean_squares(SHROUT_FLEISS)
    squares = found.horses, found.within, found.raters, found.error
    assert [round(each, 2) for each in squares] == [11.24, 6.26, 32.49, 1.02]
    assert (found.n, found.k) == (6, 4)


@outside(
    "ICC: 95% intervals of the six forms on Shrout and Fleiss's table, to two places",
    source="R package psych, ICC(), whose help page prints them",
    status=FROM_MEMORY,
)
def test_the_intervals_are_those_that_others_print() -> None:
    found = [agreement_icc.icc(SHROUT_FLEISS, form) for form in Form]
    limits = [(round(each.low or 0, 2), round(each.high or 0, 2)) for each in found]
    single = [(-0.13, 0.72), (0.02, 0.76), (0.34, 0.95)]
    assert limits == [*single, (-0.88, 0.91), (0.07, 0.93), (0.68, 0.99)]


@pytest.mark.filterwarnings("ignore:The inplace keyword")  # within pingouin
@pytest.mark.parametrize("form", list(Form))
@pytest.mark.parametrize("scores", CASES.values(), ids=CASES)
@outside(
    "ICC: value and 95% interval of all six forms on eight tables, to 1e-9",
    source=PINGOUIN,
    status=WITHIN_TOLERANCE,
)
def test_every_form_is_that_of_pingouin(
    scores: np.ndarray, form: Form, monkeypatch: pytest.MonkeyPatch
) -> None:
    row, found = theirs(scores, monkeypatch).loc[NAMES[form]], agreement_icc.icc(scores, form)
    assert found.value == pytest.approx(row["ICC"], rel=1e-9, abs=1e-9)
    low, high = (float(each) for each in row["CI95"])
    if low > high:  # theirs has gone round through infinity, where there is no lower bound
        assert found.low is None
    else:
        assert found.low == pytest.approx(low, rel=1e-9, abs=1e-9)
    assert found.high == pytest.approx(high, rel=1e-9, abs=1e-9)


def test_the_invented_half_points_are_as_worked_out_apart() -> None:
    found = [agreement_icc.icc(HALF, form).value for form in Form][:3]
    assert [round(each, 4) for each in found] == [0.8435, 0.8430, 0.8382]


def test_a_wider_confidence_is_a_wider_interval() -> None:
    some, more = (agreement_icc.icc(HALF, Form.TWO_SINGLE, confidence=each) for each in (0.8, 0.99))
    assert some.low is not None
    assert some.high is not None
    assert more.low is not None
    assert more.high is not None
    assert more.low < some.low < some.value < some.high < more.high


def test_an_interval_holds_the_truth_as_often_as_it_says() -> None:
    """2,000 invented yards of 12 horses and 4 raters, with the true ICC(C,1) 0.5."""
    rng = np.random.default_rng(5)
    scores = rng.normal(size=(2000, 12, 1)) + rng.normal(size=(2000, 12, 4)) + np.arange(4)
    found = [agreement_icc.icc(each, Form.THREE_SINGLE, confidence=0.8) for each in scores]
    held = sum(1 for each in found if (each.low or 0) <= 0.5 <= (each.high or 0))
    assert 0.77 < held / len(found) < 0.83


def test_a_horse_that_lacks_a_score_and_a_rater_without_any_are_left_out_and_counted() -> None:
    with_holes: list[list[float | None]] = [[*row, None] for row in SHROUT_FLEISS]
    with_holes.append([5, None, 4, 4, None])
    found = agreement_icc.mean_squares(with_holes)
    assert (found.horses_left_out, found.raters_left_out) == (1, 1)
    whole = agreement_icc.mean_squares(SHROUT_FLEISS)
    assert astuple(found)[:6] == astuple(whole)[:6]


def test_raters_who_agree_without_exception_leave_no_interval() -> None:
    alike = np.repeat([[2], [3], [4.5]], 3, axis=1)
    for form in Form:
        found = agreement_icc.icc(alike, form)
        assert found == agreement_scores.Estimate(1.0)


def test_a_rater_who_is_always_high_is_consistent_but_does_not_agree() -> None:
    always_high: agreement_scores.Table = [[2, 3], [3, 4], [1, 2], [4.5, 5.5], [2.5, 3.5]]
    assert agreement_icc.icc(always_high, Form.THREE_SINGLE).value == 1
    assert agreement_icc.icc(always_high, Form.TWO_SINGLE).value < 0.8


def test_where_a_mean_has_no_lower_bound_none_is_told() -> None:
    found = agreement_icc.icc(np.array([[1, 2], [2, 2.5], [2, 1.5]]), Form.TWO_MEAN)
    assert found.low is None
    assert found.high is not None
    assert found.value < found.high


@pytest.mark.parametrize("form", list(Form))
def test_no_variance_at_all_is_refused(form: Form) -> None:
    for score in (3, 0.1, 1e9):
        with pytest.raises(agreement_scores.Undefined) as refused:
            agreement_icc.icc([[score] * 3] * 4, form)
        assert (refused.value.field, type(refused.value)) == ("horses", agreement_scores.Undefined)


def test_a_mean_whose_variance_is_not_above_0_has_no_correlation() -> None:
    """Taken by the formula it would be 23."""
    worse: agreement_scores.Table = [[1, 3, 2], [3, 1, 2.5], [2.5, 2, 1], [2, 3.5, 1.5]]
    assert agreement_icc.icc(worse, Form.TWO_SINGLE).value < 0
    with pytest.raises(agreement_scores.Undefined, match="do not differ"):
        agreement_icc.icc(worse, Form.TWO_MEAN)


@pytest.mark.parametrize("form", [Form.ONE_MEAN, Form.THREE_SINGLE, Form.THREE_MEAN])
def test_horses_that_do_not_differ_have_no_correlation(form: Form) -> None:
    with pytest.raises(agreement_scores.Undefined, match="do not differ"):
        agreement_icc.icc([[1, 2, 3]] * 3, form)


@pytest.mark.parametrize(
    ("scores", "field", "found"),
    [
        ([], "raters", 0),
        ([[3, 4, 3]], "horses", 1),
        ([[3], [4], [2]], "raters", 1),
        ([[3, None], [4, None], [2, None]], "raters", 1),
        ([[3, None], [None, 4], [2, None]], "horses", 0),
        ([[None, None]] * 3, "raters", 0),
    ],
)
def test_too_few_are_refused_by_name(
    scores: agreement_scores.Table, field: str, found: int
) -> None:
    with pytest.raises(agreement_scores.TooFew) as refused:
        agreement_icc.mean_squares(scores)
    assert (refused.value.field, refused.value.found, refused.value.least) == (field, found, 2)


@pytest.mark.parametrize(
    "scores", [[[1, 2], [3]], [1, 2, 3], [["3", "4"]], [[3, float("inf")]], [[2e9, 1]], [[3, "4"]]]
)
def test_what_is_no_table_is_refused_by_name(scores: agreement_scores.Table) -> None:
    with pytest.raises(checked.OutOfRange) as refused:
        agreement_icc.mean_squares(scores)
    assert refused.value.field == "scores"


@pytest.mark.parametrize("confidence", [0.0, 0.4, 1.0, 95, float("nan")])
def test_a_confidence_that_cannot_be_is_refused(confidence: float) -> None:
    with pytest.raises(checked.OutOfRange) as refused:
        agreement_icc.icc(SHROUT_FLEISS, Form.ONE_SINGLE, confidence=confidence)
    assert refused.value.field == "confidence"


def test_mean_squares_that_cannot_be_are_refused() -> None:
    with pytest.raises(checked.OutOfRange) as refused:
        agreement_icc.MeanSquares(1.0, 1.0, -1.0, 1.0, 6, 4)
    assert refused.value.field == "raters"
    with pytest.raises(agreement_scores.TooFew):
        agreement_icc.MeanSquares(1.0, 1.0, 1.0, 1.0, 1, 4)
