"""The trend of many series at once: against the trend of each, and against statsmodels."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import (
    checked,
    smoothing,
    standing,
    trend,
    trend_batch,
    trend_likelihood,
    trend_panel,
)
from tests.outside import WITHIN_TOLERANCE, outside
from tests.rules import state_space
from tests.rules.many import Many, many, panel_of, rows
from tests.rules.state_space import FIRST, Seen

STATSMODELS = "statsmodels, KalmanSmoother with an exact diffuse level, run beside ours"
MODELS = {
    "score": trend.SCORE,
    "weight": trend.WEIGHT,
    "a rate known to be 0 at first": trend.Model(0.0, 1e-6),
    "a rate that never changes": trend.Model(0.01, 0.0),
    "nothing that moves": trend.Model(0.0, 0.0),
    "all of it": trend.Model(0.02, 1e-5, 1e-3),
}
EVERY_MODEL = pytest.mark.parametrize("model", MODELS.values(), ids=MODELS)


@EVERY_MODEL
def test_the_filter_is_the_one_of_each_series_by_itself(model: trend.Model) -> None:
    found = many()
    panel = panel_of(found)
    ours = rows(panel, trend_batch.filtered(panel, found.value, found.noise, model=model))
    for horse in range(30):
        state, states = None, []
        for each in found.of(horse):
            state = standing.step(
                state, each.at, each.value, each.noise, model=model, series=each.series
            )
            states.append([getattr(state, name) for name in row_names()])
        np.testing.assert_allclose(ours[found.horse == horse], states, rtol=1e-9, atol=1e-12)
        assert standing.refilter(found.of(horse), model=model) == state


def row_names() -> tuple[str, ...]:
    return ("level", "rate", "level_var", "cross", "rate_var")


@EVERY_MODEL
def test_the_smoother_is_the_one_of_each_series_by_itself(model: trend.Model) -> None:
    found = many()
    panel = panel_of(found)
    ours = rows(panel, trend_batch.smoothed(panel, found.value, found.noise, model=model))
    for horse in range(30):
        # Of readings at one time the lines have a point each, in the order given.
        lines = smoothing.smooth(found.of(horse), model=model)
        points = [point for line in lines for point in line.points]
        theirs = [
            [each.level.value, each.rate.value, half(each.level), half(each.rate)]
            for each in points
        ]
        mine = ours[found.horse == horse][:, [0, 1, 2, 4]]
        mine[:, 2:] = np.sqrt(mine[:, 2:]) * standing.Z80
        np.testing.assert_allclose(mine, theirs, rtol=1e-9, atol=1e-9)


def half(span: Any) -> float:
    return float(span.high - span.low) / 2


@EVERY_MODEL
def test_the_likelihood_is_the_sum_of_those_of_each_series(model: trend.Model) -> None:
    found = many()
    theirs = sum(trend_likelihood.of(found.of(horse), model=model) for horse in range(30))
    ours = trend_batch.log_likelihood(panel_of(found), found.value, found.noise, model=model)
    assert ours == pytest.approx(theirs, rel=1e-9)


def a_grid(seed: int) -> list[Seen]:
    """Return invented fortnightly scores, some of them missing, the first never."""
    rng = np.random.default_rng(seed)
    return [
        Seen(14.0 * n, None if n and rng.random() < 0.25 else float(rng.normal(3, 0.5)), 0.3)
        for n in range(60)
    ]


GRIDS = [a_grid(seed) for seed in range(4)]


def grids() -> Many:
    """Return the readings of all grids but the missing ones, a horse each."""
    rows = [
        (horse, each.day, each.value, each.noise, "five")
        for horse, grid in enumerate(GRIDS)
        for each in grid
        if each.value is not None
    ]
    return Many(*(np.array(each) for each in zip(*rows, strict=True)))


def held_against(model: trend.Model, ours: Any, theirs: Callable[[Any], Any]) -> None:
    """Hold rows of all grids' readings to what statsmodels says of each grid."""
    place = 0
    for grid in GRIDS:
        taken = [n for n, each in enumerate(grid) if each.value is not None]
        expected = theirs(state_space.solved(grid, model))[taken]
        found = ours[place : place + len(taken)]
        np.testing.assert_allclose(found, expected, rtol=1e-8, atol=1e-11)
        place += len(taken)


@EVERY_MODEL
@outside(
    "batch filter over series with missing values, to 1e-8",
    source=STATSMODELS,
    status=WITHIN_TOLERANCE,
)
def test_the_batch_filter_is_the_one_of_statsmodels(model: trend.Model) -> None:
    found = grids()
    panel = panel_of(found)
    ours = rows(panel, trend_batch.filtered(panel, found.value, found.noise, model=model))
    held_against(
        model, ours, lambda each: state_space.rows(each.filtered_state, each.filtered_state_cov)
    )


@EVERY_MODEL
@outside(
    "batch smoother over series with missing values, to 1e-8",
    source=STATSMODELS,
    status=WITHIN_TOLERANCE,
)
def test_the_batch_smoother_is_the_one_of_statsmodels(model: trend.Model) -> None:
    found = grids()
    panel = panel_of(found)
    ours = rows(panel, trend_batch.smoothed(panel, found.value, found.noise, model=model))
    held_against(
        model, ours, lambda each: state_space.rows(each.smoothed_state, each.smoothed_state_cov)
    )


@EVERY_MODEL
@outside(
    "batch log-likelihood of series with missing values, to 1e-8",
    source=STATSMODELS,
    status=WITHIN_TOLERANCE,
)
def test_the_batch_likelihood_is_the_one_of_statsmodels(model: trend.Model) -> None:
    found = grids()
    theirs = sum(state_space.solved(grid, model).llf - FIRST for grid in GRIDS)
    ours = trend_batch.log_likelihood(panel_of(found), found.value, found.noise, model=model)
    assert ours == pytest.approx(theirs, rel=1e-8)


@pytest.mark.parametrize("size", [1, 7, 64])
def test_series_worked_on_in_blocks_come_out_the_same(
    size: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = many()
    panel = panel_of(found)
    whole = rows(panel, trend_batch.smoothed(panel, found.value, found.noise))
    monkeypatch.setattr(trend_batch, "BLOCK", size)
    parts = rows(panel, trend_batch.smoothed(panel, found.value, found.noise))
    np.testing.assert_array_equal(parts, whole)


def test_nothing_and_one_reading_are_ordinary() -> None:
    none = trend_panel.arrange(trend_panel.baselines([], [], []), [])
    assert none.firsts == 0
    assert trend_batch.smoothed(none, [], []).level.size == 0
    assert trend_batch.log_likelihood(none, [], []) == 0.0
    one = trend_panel.arrange(trend_panel.baselines([5], [100.0], ["five"]), [100.0])
    known = trend_batch.smoothed(one, [3.5], 0.3)
    assert (known.level[0], known.level_var[0]) == (3.5, pytest.approx(0.09))
    assert trend_batch.log_likelihood(one, [3.5], 0.3) == 0.0


@pytest.mark.parametrize(
    ("value", "noise", "field"),
    [
        (float("nan"), 0.3, "value"),
        (float("inf"), 0.3, "value"),
        (-2e9, 0.3, "value"),
        (3.0, float("nan"), "noise"),
        (3.0, 0.0, "noise"),
        (3.0, 2e6, "noise"),
    ],
)
def test_a_number_that_cannot_be_is_refused(value: float, noise: float, field: str) -> None:
    panel = trend_panel.arrange([0, 0], [0.0, 14.0])
    with pytest.raises(checked.OutOfRange) as refused:
        trend_batch.filtered(panel, [3.0, value], [0.3, noise])
    assert refused.value.field == field


@given(
    st.lists(
        st.tuples(
            st.integers(0, 3),
            st.floats(0, 400),
            st.floats(-1e4, 1e4),
            st.sampled_from([1e-6, 1e-3, 0.3, 50.0, 1e6]),
        ),
        min_size=1,
        max_size=30,
    ),
    st.sampled_from(list(MODELS.values())),
)
def test_variances_stay_variances_and_hindsight_is_no_less_sure(
    found: list[tuple[int, float, float, float]], model: trend.Model
) -> None:
    horse, days, value, noise = (np.array(each) for each in zip(*found, strict=True))
    panel = trend_panel.arrange(trend_panel.baselines(horse, days, np.zeros(horse.size)), days)
    seen = trend_batch.filtered(panel, value, noise, model=model)
    known = trend_batch.smoothed(panel, value, noise, model=model)
    for each in (seen, known):
        assert np.isfinite(rows(panel, each)).all()
        assert (each.level_var >= 0).all()
        assert (each.rate_var >= 0).all()
    assert (known.level_var <= seen.level_var * (1 + 1e-9)).all()
    assert (known.rate_var <= seen.rate_var * (1 + 1e-9)).all()
