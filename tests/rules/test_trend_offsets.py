"""The equations of offsets and the climb, against dense matrices, statsmodels and scipy."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from scoring.rules import trend, trend_case, trend_fit, trend_offsets
from scoring.rules import trend_search as search
from scoring.rules.trend_prior import Guess, Prior
from tests.oracles import linalg, mixed_linear_model, mlemodel, optimize, stats
from tests.outside import WITHIN_TOLERANCE, outside
from tests.rules import simulated

ALL = trend.Model(0.02, 1e-5, 1e-3)
# All is left to the readings.
OPEN: dict[str, Any] = {
    "noise_spread": math.inf,
    "model_spread": math.inf,
    "offset_spread": math.inf,
}
HENDERSON = (
    "Henderson 1975, Biometrics 31:423, and Patterson and Thompson 1971, Biometrika 58:545 "
    "(both from memory), by dense matrices and scipy.stats"
)
WAHBA = "Wahba 1978, Journal of the Royal Statistical Society B 40:364, from memory"


def own_covariance(days: Any, model: trend.Model) -> Any:
    """Return the covariance of a level's way from the first of some days: no state, no recursion.

    The integrated Wiener process of splines, a straight line of random slope, and a Wiener process.
    """
    since = days - days[0]
    least, most = np.minimum.outer(since, since), np.maximum.outer(since, since)
    bent = model.drift * least**2 * (3 * most - least) / 6
    return bent + model.rate_sd**2 * np.outer(since, since) + model.wander * least


def dense(case: trend_case.Case, noise: Any, model: trend.Model) -> tuple[Any, Any, Any]:
    """Return all differences from each baseline's first reading, which know no level.

    Their covariance, then the differences of values, and those of each key's column.
    """
    rows = case.rows
    keys = case.design.keys
    columns = np.zeros((rows.value.size, keys))
    for code, beyond in ((rows.assessors.code, 0), (rows.instruments.code, len(rows.assessors[0]))):
        has = np.flatnonzero(code >= 0)
        columns[has, code[has] + beyond] = 1.0
    covariances, values, designs = [], [], []
    for number in np.unique(rows.number):
        here = np.flatnonzero(rows.number == number)
        full = own_covariance(rows.days[here], model) + np.diag(noise[here] ** 2)
        apart = np.hstack([-np.ones((here.size - 1, 1)), np.eye(here.size - 1)])
        covariances.append(apart @ full @ apart.T)
        values.append(apart @ rows.value[here])
        designs.append(apart @ columns[here])
    size = sum(each.shape[0] for each in covariances)
    whole, place = np.zeros((size, size)), 0
    for each in covariances:
        there = slice(place, place + each.shape[0])
        whole[there, there], place = each, there.stop
    return whole, np.concatenate(values), np.vstack(designs)


def a_case(seed: int = 5, horses: int = 25) -> trend_case.Case:
    """Return invented weights by hands and tapes, some of them by none."""
    rng = np.random.default_rng(seed)
    herd = simulated.herd(rng, horses=horses, readings=(1, 9), model=ALL)
    assessor = rng.choice(["ann", "bea", "cay", ""], herd.size)
    instrument = rng.choice(["one", "two", ""], herd.size)
    high = 0.5 * (assessor == "ann") + 0.4 * (instrument == "two")
    value = herd.level + high + rng.normal(0, 0.3, herd.size)
    readings = simulated.readings(
        herd, value, method="five", assessor=assessor.tolist(), instrument=instrument.tolist()
    )
    return trend_case.of(readings, "five", ())


@pytest.mark.parametrize("model", [ALL, trend.SCORE, trend.Model(0.0, 0.0)])
@outside(
    "offsets, their covariance and the likelihood without levels and offsets, to 1e-8",
    source=HENDERSON,
    status=WITHIN_TOLERANCE,
)
def test_offsets_are_those_of_dense_matrices(model: trend.Model) -> None:
    case = a_case()
    noise = np.random.default_rng(6).uniform(0.1, 0.6, case.value.size)
    sd = np.array([0.3, 0.3, 0.3, 0.1, 0.1])
    ours = trend_offsets.solved(trend_offsets.system(case.design, case.value, noise, model), sd)
    within, values, columns = dense(case, noise, model)
    whole = within + columns @ np.diag(sd**2) @ columns.T
    theirs = sd**2 * (columns.T @ np.linalg.solve(whole, values))
    np.testing.assert_allclose(ours.value, theirs, rtol=1e-8, atol=1e-11)
    carried = np.diag(sd**2) @ columns.T
    covariance = np.diag(sd**2) - carried @ np.linalg.solve(whole, carried.T)
    np.testing.assert_allclose(ours.covariance, covariance, rtol=1e-8, atol=1e-11)
    likelihood = stats.multivariate_normal.logpdf(values, cov=whole)
    assert ours.log_likelihood == pytest.approx(likelihood, rel=1e-8)


def test_blocks_of_series_give_the_same_equations(monkeypatch: pytest.MonkeyPatch) -> None:
    case = a_case()
    whole = trend_offsets.system(case.design, case.value, 0.3, ALL)
    monkeypatch.setattr(trend_offsets, "BLOCK", 4)
    parts = trend_offsets.system(case.design, case.value, 0.3, ALL)
    np.testing.assert_allclose(parts.inner, whole.inner, rtol=1e-12, atol=1e-9)
    np.testing.assert_allclose(parts.right, whole.right, rtol=1e-12, atol=1e-9)
    assert parts.rest == pytest.approx(whole.rest)


def a_balanced_case() -> trend_case.Case:
    """Return invented scores: each of 8 hands has scored each of 20 horses, all on one day."""
    rng = np.random.default_rng(8)
    horse, hand = np.repeat(np.arange(20), 8), np.tile(np.arange(8), 20)
    value = rng.normal(3, 1, 20)[horse] + rng.normal(0, 0.4, 8)[hand] + rng.normal(0, 0.3, 160)
    names = [f"hand {each}" for each in hand]
    none = [""] * 160
    five = ["five"] * 160
    readings = trend_case.Readings(horse, np.zeros(160), value, five, five, names, none)
    return trend_case.of(readings, "five", ())


@outside(
    "offsets, noise and spread of offsets where every hand scores every horse once, to 1%",
    source="statsmodels, MixedLM by restricted likelihood, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_a_balanced_layout_is_the_mixed_model_of_statsmodels() -> None:
    case = a_balanced_case()
    horse, hand = case.rows.horse, case.rows.assessors.code
    theirs = mixed_linear_model.MixedLM(case.value, np.eye(20)[horse], groups=hand).fit(
        reml=True, gtol=1e-8
    )
    noise, sd = math.sqrt(theirs.scale), math.sqrt(theirs.cov_re[0, 0])
    still = trend.Model(0.0, 0.0)
    system = trend_offsets.system(case.design, case.value, noise, still)
    ours = trend_offsets.solved(system, np.full(8, sd))
    offsets = [theirs.random_effects[each].iloc[0] for each in range(8)]
    np.testing.assert_allclose(ours.value, offsets, rtol=1e-6, atol=1e-9)
    assert np.sum(ours.value) == pytest.approx(0.0, abs=1e-9)
    prior = Prior(still, {"five": 0.5}, 0.2, 0.0, **OPEN)
    first = Guess.first(case, prior)
    found = trend_fit.climbed(case, first, first, prior)
    assert found.noise[0] == pytest.approx(noise, rel=0.01)
    assert found.sd[0] == pytest.approx(sd, rel=0.01)


def grid(values: Any, model: trend.Model) -> Any:
    """Return statsmodels' model of the same trend, on a grid of fortnights, its noise and drift to
    be found."""

    class Trend(mlemodel.MLEModel):  # type: ignore[misc, name-defined]  # it has no types
        def __init__(self) -> None:
            super().__init__(values, k_states=2, k_posdef=2)
            self.start = np.log([0.5, 1e-6])
            self["design"] = np.array([[1.0, 0.0]])
            self["transition"] = np.array([[1.0, 14.0], [0.0, 1.0]])
            self["selection"] = np.eye(2)
            # The level's start is all but unknown, and its reading counts nothing.
            self.initialize_known(np.zeros(2), np.diag([1e9, model.rate_sd**2]))
            self.ssm.loglikelihood_burn = 1

        @property
        def start_params(self) -> Any:
            return self.start

        def update(self, params: Any, **kwargs: Any) -> None:
            noise, drift = np.exp(super().update(params, **kwargs))
            self["obs_cov"] = np.array([[noise**2]])
            self["state_cov"] = drift * np.array([[14.0**3 / 3, 14.0**2 / 2], [14.0**2 / 2, 14.0]])

    return Trend()


@outside(
    "noise to 0.1% and drift to 1% at the top of one long series' likelihood, and its height",
    source="statsmodels, MLEModel fitted by L-BFGS, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_noise_and_drift_are_those_of_statsmodels() -> None:
    rng = np.random.default_rng(9)
    true = trend.Model(0.01, 4e-6)
    covariance = own_covariance(14.0 * np.arange(250), true) + 0.09 * np.eye(250)
    values = 3 + np.linalg.cholesky(covariance) @ rng.normal(size=250)
    theirs = grid(values, true).fit(method="lbfgs", pgtol=1e-5, disp=False, maxiter=200)
    noise, drift = np.exp(theirs.params)
    case = one_horse(values)
    # The rate's start is known: one series has but one.
    prior = Prior(replace(true, drift=1e-6), {"five": 0.5}, 0.0, 0.0, **OPEN)
    first = Guess.first(case, prior)

    def height(logs: Any) -> float:
        guess = first.moved(np.array([math.exp(logs[0]), math.exp(logs[1]), 0.01, 0.0, 0.0]))
        return trend_fit.solved(case, guess)[1].log_likelihood

    top, best = search.climb(
        height, np.log([0.5, 1e-6]), low=np.full(2, -20.0), high=np.full(2, 2.0)
    )
    assert best >= theirs.llf - 1e-3
    assert math.exp(top[0]) == pytest.approx(noise, rel=0.001)
    assert math.exp(top[1]) == pytest.approx(drift, rel=0.01)
    assert height(theirs.params) == pytest.approx(theirs.llf, abs=1e-3)


def one_horse(values: Any) -> trend_case.Case:
    many, none = ["five"] * values.size, [""] * values.size
    days = 14.0 * np.arange(values.size)
    nought = np.zeros(values.size)
    return trend_case.of(
        trend_case.Readings(nought, days, values, many, many, none, none), "five", ()
    )


@outside(
    "noise, drift, start of rates and spread of offsets, pooled over horses, to 1%",
    source=WAHBA,
    status=WITHIN_TOLERANCE,
)
def test_what_is_pooled_is_at_the_top_of_the_dense_likelihood() -> None:
    case = a_case(seed=10, horses=30)
    prior = Prior(trend.Model(0.01, 1e-5), {"five": 0.4}, 0.2, 0.1, **OPEN)
    first = Guess.first(case, prior)
    found = trend_fit.climbed(case, first, first, prior)

    kernels = [
        dense(case, np.zeros(case.value.size), trend.Model(*each))[0] for each in ((1, 0), (0, 1))
    ]
    errors, values, columns = dense(case, np.ones(case.value.size), trend.Model(0.0, 0.0))

    def cost(logs: Any) -> float:
        noise, drift, rate_sd, hands, tapes = np.exp(logs)
        sd = np.repeat([hands, tapes], [3, 2])
        whole = rate_sd**2 * kernels[0] + drift * kernels[1] + noise**2 * errors
        lower = linalg.cholesky(whole + (columns * sd**2) @ columns.T, lower=True)
        off = linalg.solve_triangular(lower, values, lower=True)
        spread = 2 * float(np.log(np.diag(lower)).sum())
        return 0.5 * (int(values.size) * math.log(2 * math.pi) + spread + float(off @ off))

    assert trend_fit.solved(case, found)[1].log_likelihood == pytest.approx(
        -cost(np.log(found.vector())), rel=1e-9
    )
    theirs = optimize.minimize(cost, np.log(first.vector()), method="BFGS")
    assert -cost(np.log(found.vector())) >= -theirs.fun - 1e-3
    np.testing.assert_allclose(found.vector(), np.exp(theirs.x), rtol=0.01)


@outside(
    "the top of a bent ridge, to 1%",
    source="Rosenbrock 1960, Computer Journal 3:175, from memory, by scipy.optimize.rosen",
    status=WITHIN_TOLERANCE,
)
def test_the_climb_finds_tops_and_keeps_within_bounds() -> None:
    low, high = np.full(2, -2.0), np.full(2, 2.0)
    top, best = search.climb(
        lambda at: -float(optimize.rosen(at)), np.array([-1.0, 1.5]), low=low, high=high, most=5000
    )
    np.testing.assert_allclose(top, 1.0, atol=0.01)
    assert best == pytest.approx(0.0, abs=1e-4)
    bound, _ = search.climb(
        lambda at: float(at.sum()),
        np.zeros(3),
        low=np.full(3, -1.0),
        high=np.array([1.0, 0.5, 2.0]),
    )
    np.testing.assert_allclose(bound, [1.0, 0.5, 2.0])


def test_the_climb_asks_nothing_more_of_a_number_that_changes_nothing() -> None:
    asked = []

    def height(at: Any) -> float:
        asked.append(at)
        return -float((at[0] - 0.3) ** 2)

    top, _ = search.climb(height, np.zeros(2), low=np.full(2, -5.0), high=np.full(2, 5.0))
    assert top[0] == pytest.approx(0.3, abs=1e-6)
    assert len(asked) < 60
    again, _ = search.climb(height, np.zeros(2), low=np.full(2, -5.0), high=np.full(2, 5.0))
    np.testing.assert_array_equal(top, again)
