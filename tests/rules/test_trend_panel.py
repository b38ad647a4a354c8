"""How readings of many series lie, and where their baselines begin."""

from datetime import timedelta

import numpy as np
import pytest

from scoring.rules import baseline, checked, smoothing, standing, trend_batch, trend_panel
from tests.rules.many import EPOCH, Many, many, panel_of, rows


def test_a_table_with_a_mask_goes_in_and_comes_out() -> None:
    days = np.array([[0.0, 14.0, 28.0, 42.0], [0.0, 14.0, 28.0, 42.0], [3.0, 9.0, 9.0, 9.0]])
    mask = np.array([[True, True, True, True], [True, False, True, True], [True] + [False] * 3])
    value = np.where(mask, 3 + days / 100, np.nan)
    horse = np.nonzero(mask)[0]
    number = trend_panel.baselines(horse, days[mask], np.zeros(horse.size))
    panel = trend_panel.arrange(number, days[mask])
    level = np.full(mask.shape, np.nan)
    level[mask] = panel.given(trend_batch.filtered(panel, value[mask], 0.3).level)
    for row in range(3):
        readings = [
            standing.Reading(EPOCH + timedelta(days=day), each, 0.3, "")
            for day, each in zip(days[row][mask[row]], value[row][mask[row]], strict=True)
        ]
        state = standing.refilter(readings)
        assert state is not None
        assert level[row][mask[row]][-1] == pytest.approx(state.level, rel=1e-12)


def test_steps_lie_one_after_the_other_the_longest_series_first() -> None:
    panel = trend_panel.arrange([0, 0, 0, 1, 2, 2], [0.0, 5.0, 6.0, 9.0, 1.0, 3.0])
    assert panel.order.tolist() == [0, 4, 3, 1, 5, 2]
    assert panel.starts.tolist() == [0, 3, 5, 6]
    assert panel.gap.tolist() == [0.0, 0.0, 0.0, 5.0, 2.0, 1.0]
    assert panel.firsts == 3
    assert panel.given(panel.laid(np.arange(6.0))).tolist() == [0, 1, 2, 3, 4, 5]


def test_the_order_in_which_horses_come_changes_nothing() -> None:
    found = many()
    mixed = np.argsort(found.horse, kind="stable")
    other = Many(*(each[mixed] for each in found))
    one, two = panel_of(found), panel_of(other)
    ours = rows(one, trend_batch.smoothed(one, found.value, found.noise))[mixed]
    theirs = rows(two, trend_batch.smoothed(two, other.value, other.noise))
    np.testing.assert_allclose(ours, theirs, rtol=1e-13)


def test_baselines_begin_where_those_of_one_horse_do() -> None:
    found = many()
    resets = [
        baseline.Reset(EPOCH + timedelta(days=19_000.37 + day), baseline.FOALED)
        for day in (100.0, 400.0, 401.0)
    ]
    begins = np.zeros(found.horse.size, np.bool_)
    sizes = []
    for horse in range(30):
        place = iter(np.flatnonzero(found.horse == horse))
        for each in smoothing.baselines(found.of(horse), resets=resets):
            here = [next(place) for _ in each.readings]
            begins[here[0]] = each.reason in baseline.REASONS
            sizes.append(len(here))
    number = trend_panel.baselines(found.horse, found.days, found.series, begins)
    assert np.bincount(number).tolist() == sizes
    plain = trend_panel.baselines(found.horse, found.days, found.series)
    assert plain.max() < number.max()


def test_times_that_are_none_and_arrays_unlike_each_other_are_refused() -> None:
    with pytest.raises(checked.OutOfRange, match="days"):
        trend_panel.arrange([0, 0], [0.0, float("nan")])
    with pytest.raises(checked.OutOfRange, match="one length"):
        trend_panel.arrange([0, 0], [0.0])
    with pytest.raises(checked.OutOfRange, match="one length"):
        trend_panel.baselines([0, 0], [0.0, 1.0], ["five"])
