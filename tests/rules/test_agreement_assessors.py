"""Each assessor's bias against a linear model by statsmodels, and the invented high scorer."""

import numpy as np
import pytest

from scoring.rules import agreement_assessors, agreement_limits, agreement_scores, checked
from tests.oracles import formulas, pandas
from tests.outside import WITHIN_TOLERANCE, outside

N = None
TRUE = np.array([0.4, -0.1, 0.0, -0.3])


def invented(missing: float, horses: int = 60) -> np.ndarray:
    """Return invented scores by four assessors of known bias, some of them missing."""
    rng = np.random.default_rng(9)
    scores = rng.normal(3, 0.8, (horses, 1)) + TRUE + rng.normal(0, 0.3, (horses, 4))
    return np.where(rng.random((horses, 4)) < missing, np.nan, scores)


@pytest.mark.parametrize("missing", [0.0, 0.4])
@outside(
    "biases with their 95% intervals and the error SD, with and without gaps, to 1e-9",
    source="statsmodels, ordinary least squares on horse and assessor, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_biases_are_those_of_a_linear_model(missing: float) -> None:
    scores = invented(missing)
    rows = [(i, f"{j}", score) for (i, j), score in np.ndenumerate(scores)]
    long = pandas.DataFrame(rows, columns=["horse", "assessor", "score"]).dropna()
    long = long[long.groupby("horse")["score"].transform("size") >= 2]
    theirs = formulas.ols("score ~ C(horse) + C(assessor, Sum)", long).fit()
    found = agreement_assessors.biases(scores)
    assert found.df == theirs.df_resid
    assert found.error_sd == pytest.approx(np.sqrt(theirs.mse_resid), rel=1e-9)
    intervals = theirs.conf_int()
    for place, bias in enumerate(found.assessors[:3]):
        assert bias is not None
        name = f"C(assessor, Sum)[S.{place}]"
        assert bias.estimate.value == pytest.approx(theirs.params[name], rel=1e-9)
        told = bias.estimate.low, bias.estimate.high
        assert told == pytest.approx(tuple(intervals.loc[name]), rel=1e-9)
        assert bias.horses == (long["assessor"] == f"{place}").sum()


def test_the_one_who_scores_high_is_found_although_she_saw_the_thin_horses() -> None:
    """A plain mean has her lowest; the horses that others saw, too, tell that she scores high."""
    scores = np.array(invented(0.0))
    fattest = np.argsort(scores[:, 1:].mean(axis=1))[-45:]
    scores[fattest, 0] = np.nan
    assert np.nanmean(scores, axis=0).argmin() == 0
    high = agreement_assessors.biases(scores).assessors[0]
    assert high is not None
    assert high.estimate.low is not None
    assert 0.2 < high.estimate.low < 0.4 < (high.estimate.high or 0)


def test_where_all_scored_all_a_bias_is_a_mean_less_the_mean() -> None:
    scores = invented(0.0)
    found = agreement_assessors.biases(scores).assessors
    means = scores.mean(axis=0) - scores.mean()
    assert [each.estimate.value for each in found if each] == pytest.approx(means.tolist())


def test_an_assessor_who_shared_no_horse_has_no_bias() -> None:
    found = agreement_assessors.biases(
        [[3, 3.5, None, None], [2, 2, None, None], [None, 4, 4, None]]
    )
    high, low, shared, nobody = found.assessors
    assert high is not None
    assert low is not None
    assert shared is not None
    assert (high.horses, low.horses, shared.horses) == (2, 3, 1)
    assert nobody is None


def test_one_horse_alone_gives_biases_without_intervals() -> None:
    found = agreement_assessors.biases([[3, 3.5, 4]])
    told = [each.estimate for each in found.assessors if each]
    assert [each.value for each in told] == pytest.approx([-0.5, 0.0, 0.5])
    assert [(each.low, each.high) for each in told] == [(None, None)] * 3
    assert (found.error_sd, found.df) == (None, 0)


def test_assessors_who_always_differ_alike_have_biases_without_intervals() -> None:
    found = agreement_assessors.biases([[2, 3], [3, 4], [0.1, 1.1]])
    assert found.error_sd == 0
    assert [each.estimate.low for each in found.assessors if each] == [None, None]


def test_groups_that_share_no_horse_are_refused() -> None:
    with pytest.raises(agreement_scores.Undefined) as refused:
        agreement_assessors.biases([[3, 3.5, N, N], [2, 2, N, N], [N, N, 4, 4.5]])
    assert refused.value.field == "assessors"
    assert not isinstance(refused.value, agreement_scores.TooFew)


@pytest.mark.parametrize("scores", [[], [[3], [4]], [[3, None], [None, 4]], [[None, None]]])
def test_assessors_who_share_nothing_are_too_few(scores: agreement_scores.Table) -> None:
    with pytest.raises(agreement_scores.TooFew) as refused:
        agreement_assessors.biases(scores)
    assert (refused.value.field, refused.value.found) == ("assessors", 0)


def test_what_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(checked.OutOfRange) as refused:
        agreement_assessors.biases([[1, 2], [3]])
    assert refused.value.field == "scores"
    with pytest.raises(checked.OutOfRange) as refused:
        agreement_assessors.biases([[1, 2], [3, 3]], confidence=2)
    assert refused.value.field == "confidence"


def test_each_assessor_has_a_repeatability_of_her_own() -> None:
    steady: agreement_scores.Table = [[3, 3], [2, 2.5]]
    loose: agreement_scores.Table = [[3, 4], [2, 3.5]]
    once: agreement_scores.Table = [[3, N], [2, N]]
    found = agreement_assessors.repeatabilities([steady, loose, once], multiplier=1.96)
    assert found[0] == agreement_limits.repeatability(steady, multiplier=1.96)
    assert found[1] == agreement_limits.repeatability(loose, multiplier=1.96)
    assert found[2] is None
    with pytest.raises(checked.OutOfRange):
        agreement_assessors.repeatabilities([once], multiplier=0)
