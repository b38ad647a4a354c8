"""What the statistics of agreement keep, whatever the scores: order, shift, unit, bounds."""

import dataclasses
import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from scoring.rules import (
    agreement,
    agreement_alpha,
    agreement_assessors,
    agreement_icc,
    agreement_kappa,
    agreement_limits,
    agreement_scores,
)
from scoring.rules.agreement_icc import Form
from tests.outside import FROM_MEMORY, outside

LEVELS = agreement_kappa.grid(0, 5, 0.5)
HALVES = st.sampled_from(LEVELS)
FORMS = st.sampled_from(list(Form))
WEIGHTS = st.sampled_from([agreement.NONE, agreement.LINEAR, agreement.QUADRATIC])
DISTANCES = st.sampled_from([agreement.NOMINAL, agreement.ORDINAL, agreement.INTERVAL])
# Pounds for kilograms, centimetres for inches, and a shift as of another origin.
SCALES = st.sampled_from([0.45359237, 2.54, 2.0, 1000.0])
SHIFTS = st.sampled_from([-3.0, 0.5, 0.1, 400.0])


@st.composite
def tables(draw: st.DrawFn, *, gaps: bool = False) -> np.ndarray:
    """Return scores in half points, 2 to 8 horses by 2 to 5 raters, some missing if so asked."""
    horses, raters = draw(st.integers(2, 8)), draw(st.integers(2, 5))
    score = st.one_of(HALVES, HALVES, HALVES, st.just(math.nan)) if gaps else HALVES
    row = st.lists(score, min_size=raters, max_size=raters)
    return np.array(draw(st.lists(row, min_size=horses, max_size=horses)))


PAIRS = st.lists(st.tuples(HALVES, HALVES), min_size=2, max_size=15).map(np.array)


def shuffled(scores: np.ndarray, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return scores[rng.permutation(len(scores))][:, rng.permutation(scores.shape[1])]


def told(rule: Callable[[], object]) -> list[float | str | None]:
    """Return every number that a rule tells, or which field it refuses."""
    try:
        found = rule()
    except agreement_scores.Undefined as refused:
        return [refused.field]
    flat: list[float | str | None] = []
    waiting = [found]
    while waiting:
        each = waiting.pop()
        if dataclasses.is_dataclass(each):
            waiting += [getattr(each, field.name) for field in dataclasses.fields(each)]
        elif isinstance(each, tuple):
            waiting += each
        elif each is None or isinstance(each, str):
            flat.append(each)
        else:
            assert isinstance(each, int | float)
            assert math.isfinite(each)
            flat.append(each)
    return flat


def assert_same(one: Callable[[], object], two: Callable[[], object]) -> None:
    first, second = told(one), told(two)
    assert len(first) == len(second)
    for a, b in zip(first, second, strict=True):
        if isinstance(a, float):
            assert b == pytest.approx(a, rel=1e-6, abs=1e-6)
        else:
            assert a == b


@given(tables(gaps=True), FORMS, st.integers(0, 99))
def test_the_order_of_horses_and_raters_changes_no_icc(
    scores: np.ndarray, form: Form, seed: int
) -> None:
    other = shuffled(scores, seed)
    assert_same(lambda: agreement_icc.icc(scores, form), lambda: agreement_icc.icc(other, form))


# Horses of one mean, told apart by rounding only once they are in other units.
ALIKE = np.array([[1, 0, 0.5, 0], [0.5, 0, 0, 1], [0.5, 0, 1, 0], [0, 0, 1, 0.5], [0, 1, 0, 0.5]])


@given(tables(), FORMS, SCALES, SHIFTS)
@example(ALIKE, Form.ONE_SINGLE, 0.45359237, -3.0)
@example(ALIKE, Form.THREE_SINGLE, 0.45359237, 0.5)
def test_neither_unit_nor_origin_changes_an_icc(
    scores: np.ndarray, form: Form, scale: float, shift: float
) -> None:
    other = scores * scale + shift
    assert_same(lambda: agreement_icc.icc(scores, form), lambda: agreement_icc.icc(other, form))


@given(tables(), st.sampled_from([Form.THREE_SINGLE, Form.THREE_MEAN]), SHIFTS)
def test_a_rater_who_adds_the_same_to_all_changes_no_consistency(
    scores: np.ndarray, form: Form, shift: float
) -> None:
    other = scores.copy()
    other[:, 0] += shift
    assert_same(lambda: agreement_icc.icc(scores, form), lambda: agreement_icc.icc(other, form))


@given(tables(), FORMS)
def test_an_icc_lies_in_its_interval_and_within_its_bounds(scores: np.ndarray, form: Form) -> None:
    try:
        found = agreement_icc.icc(scores, form)
    except agreement_scores.Undefined:
        return
    assert math.isfinite(found.value)
    assert found.value <= 1 + 1e-12
    if form in (Form.ONE_SINGLE, Form.THREE_SINGLE):
        assert found.value >= -1 / (scores.shape[1] - 1) - 1e-12
    if found.low is not None:
        assert found.low <= found.value
    if found.high is not None:
        assert found.value <= found.high <= 1 + 1e-12


@given(tables())
def test_the_mean_of_raters_is_as_reliable_as_spearman_and_brown_have_it(
    scores: np.ndarray,
) -> None:
    k = scores.shape[1]
    for single, mean in (
        (Form.ONE_SINGLE, Form.ONE_MEAN),
        (Form.TWO_SINGLE, Form.TWO_MEAN),
        (Form.THREE_SINGLE, Form.THREE_MEAN),
    ):
        try:
            one, all_k = (agreement_icc.icc(scores, each).value for each in (single, mean))
        except agreement_scores.Undefined:
            continue
        assert all_k * (1 + (k - 1) * one) == pytest.approx(k * one, rel=1e-6, abs=1e-6)


@given(PAIRS, WEIGHTS, st.integers(0, 99))
def test_kappa_is_the_same_for_either_order_of_horses_and_raters(
    pairs: np.ndarray, weights: str, seed: int
) -> None:
    other = shuffled(pairs, seed)
    assert_same(
        lambda: agreement_kappa.kappa(*pairs.T, weights=weights, levels=LEVELS),
        lambda: agreement_kappa.kappa(*other.T, weights=weights),
    )


@given(PAIRS, WEIGHTS, SCALES, SHIFTS)
def test_neither_unit_nor_origin_changes_kappa(
    pairs: np.ndarray, weights: str, scale: float, shift: float
) -> None:
    other = pairs * scale + shift
    assert_same(
        lambda: agreement_kappa.kappa(*pairs.T, weights=weights).estimate,
        lambda: agreement_kappa.kappa(*other.T, weights=weights).estimate,
    )


@given(PAIRS, WEIGHTS)
def test_kappa_lies_from_minus_1_to_1_and_in_its_interval(pairs: np.ndarray, weights: str) -> None:
    try:
        found = agreement_kappa.kappa(*pairs.T, weights=weights, levels=LEVELS)
    except agreement_scores.Undefined:
        assert len(np.unique(pairs)) == 1
        return
    value, low, high = dataclasses.astuple(found.estimate)
    assert -1 - 1e-12 <= value <= 1
    assert found.standard_error >= 0
    assert (low is None) == (high is None)
    if low is not None:
        assert -1 <= low <= value <= high <= 1


@given(PAIRS)
@outside(
    "quadratic kappa is the concordance correlation with n as divisor, on any half points",
    source="Lin 1989, Biometrics 45:255",
    status=FROM_MEMORY,
)
def test_quadratic_kappa_is_lins_concordance_on_any_half_points(pairs: np.ndarray) -> None:
    if len(np.unique(pairs)) == 1:
        return
    one, two = pairs.T
    shared = np.mean((one - one.mean()) * (two - two.mean()))
    lin = 2 * shared / (one.var() + two.var() + (one.mean() - two.mean()) ** 2)
    found = agreement_kappa.kappa(one, two, levels=LEVELS).estimate.value
    assert found == pytest.approx(lin, rel=1e-9, abs=1e-12)


@given(tables(gaps=True), DISTANCES, st.integers(0, 99))
def test_the_order_of_horses_and_raters_changes_no_alpha(
    scores: np.ndarray, distance: str, seed: int
) -> None:
    other = shuffled(scores, seed)
    assert_same(
        lambda: agreement_alpha.alpha(scores, distance),
        lambda: agreement_alpha.alpha(other, distance),
    )


@given(tables(gaps=True), DISTANCES, SCALES, SHIFTS)
def test_neither_unit_nor_origin_nor_who_scored_what_changes_alpha(
    scores: np.ndarray, distance: str, scale: float, shift: float
) -> None:
    moved = np.sort(scores * scale + shift, axis=1)  # alpha does not ask who gave a score
    alone = [*moved.tolist(), [1.0, *[math.nan] * (scores.shape[1] - 1)]]
    assert_same(
        lambda: agreement_alpha.alpha(scores, distance),
        lambda: agreement_alpha.alpha(alone, distance),
    )


@given(tables(gaps=True))
def test_only_the_order_of_levels_counts_for_ordinal_alpha(scores: np.ndarray) -> None:
    assert_same(
        lambda: agreement_alpha.alpha(scores, agreement.ORDINAL),
        lambda: agreement_alpha.alpha(np.exp(scores), agreement.ORDINAL),
    )


@given(PAIRS)
@outside(
    "nominal alpha of two raters without gaps is Scott's pi, corrected for few scores",
    source="Krippendorff 2011, Computing Krippendorff's alpha-reliability; Scott 1955",
    status=FROM_MEMORY,
)
def test_nominal_alpha_of_two_raters_is_scotts_pi_corrected(pairs: np.ndarray) -> None:
    if len(np.unique(pairs)) == 1:
        return
    count = pairs.size
    shares = np.unique(pairs, return_counts=True)[1] / count
    by_chance = float((shares**2).sum())
    pi = (float(np.mean(pairs[:, 0] == pairs[:, 1])) - by_chance) / (1 - by_chance)
    corrected = pi + (1 - pi) / count
    assert agreement_alpha.alpha(pairs, agreement.NOMINAL) == pytest.approx(corrected, abs=1e-12)


@given(PAIRS, SCALES, SHIFTS)
def test_limits_go_with_the_unit_and_not_with_the_origin(
    pairs: np.ndarray, scale: float, shift: float
) -> None:
    one, two = pairs.T
    found = agreement_limits.limits(one, two, multiplier=1.96)
    moved = agreement_limits.limits(one * scale + shift, two * scale + shift, multiplier=1.96)
    turned = agreement_limits.limits(two, one, multiplier=1.96)
    near = 1e-6 * scale
    assert moved.sd == pytest.approx(scale * found.sd, abs=near)
    assert moved.bias.value == pytest.approx(scale * found.bias.value, abs=near)
    assert moved.upper.value == pytest.approx(scale * found.upper.value, abs=near)
    assert (moved.lower.low is None) == (found.lower.low is None)
    assert turned.lower.value == pytest.approx(-found.upper.value, abs=1e-9)
    assert turned.bias.value == pytest.approx(-found.bias.value, abs=1e-9)
    assert found.lower.value <= found.bias.value <= found.upper.value


@given(tables(gaps=True), SHIFTS, st.integers(0, 99))
def test_biases_add_up_to_0_and_follow_one_who_adds_the_same_to_all(
    scores: np.ndarray, shift: float, seed: int
) -> None:
    try:
        found = agreement_assessors.biases(scores)
    except agreement_scores.Undefined:
        return
    values = [each.estimate.value for each in found.assessors if each]
    assert sum(values) == pytest.approx(0, abs=1e-9)
    raised = scores.copy()
    raised[:, 0] += shift
    after = agreement_assessors.biases(raised)
    assert after.df == found.df
    told(lambda: after)
    if found.assessors[0] and after.assessors[0]:
        gained = after.assessors[0].estimate.value - found.assessors[0].estimate.value
        assert gained == pytest.approx(shift * (1 - 1 / len(values)), abs=1e-6)
    order = np.random.default_rng(seed).permutation(len(scores))
    again = agreement_assessors.biases(scores[order])
    assert_same(lambda: found, lambda: again)


@given(tables(gaps=True))
def test_a_repeatability_is_a_number_or_a_refusal(replicates: np.ndarray) -> None:
    found = told(lambda: agreement_limits.repeatability(replicates, multiplier=1.96))
    assert found == ["horses"] or all(isinstance(each, int | float) for each in found)


def test_the_one_door_names_what_the_modules_hold() -> None:
    assert agreement.icc is agreement_icc.icc
    assert agreement.alpha_interval is agreement_alpha.interval
    assert all(hasattr(agreement, name) for name in agreement.__all__)
