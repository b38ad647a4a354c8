"""The filter behind level and rate: against closed forms and its own honesty."""

import math
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import standing

START = datetime(2026, 1, 1, tzinfo=UTC)


def series(*values: float, every: int = 14) -> list[standing.Reading]:
    return [
        standing.Reading(START + timedelta(days=every * n), value, 0.3, "five")
        for n, value in enumerate(values)
    ]


def test_a_straight_line_has_its_slope() -> None:
    """Without noise in the data the rate nears the true one: half a point a month."""
    per_fortnight = 0.5 * 14 / standing.MONTH_DAYS
    state = standing.refilter(series(*(2 + per_fortnight * n for n in range(40))))
    found = standing.estimate(state)
    assert found is not None
    assert found.rate_per_month == pytest.approx(0.5, abs=0.01)


def test_two_readings_agree_with_the_weighted_mean() -> None:
    """With no time between and no drift the level is the inverse-variance weighted mean."""
    one = standing.step(None, START, 2.0, 0.3)
    two = standing.step(one, START, 3.0, 0.6)
    expected = (2.0 / 0.09 + 3.0 / 0.36) / (1 / 0.09 + 1 / 0.36)
    assert two.level == pytest.approx(expected)
    assert math.sqrt(two.level_var) == pytest.approx(math.sqrt(1 / (1 / 0.09 + 1 / 0.36)))


def test_too_few_or_too_close_say_not_enough() -> None:
    for found in (series(3, 3), series(3, 3, 3, every=6)):
        estimate = standing.estimate(standing.refilter(found))
        assert estimate is not None
        assert (estimate.enough, estimate.reason) == (False, "not_enough_readings")


def test_a_long_gap_and_another_scale_begin_anew() -> None:
    state = standing.refilter(series(3, 3, 3))
    late = standing.step(state, START + timedelta(days=28 + 121), 4.0, 0.3, series="five")
    assert (late.count, late.level) == (1, 4.0)
    other = standing.step(state, START + timedelta(days=30), 5.0, 0.5, series="nine")
    assert other.count == 1


def test_an_older_reading_is_out_of_order() -> None:
    with pytest.raises(standing.OutOfOrder):
        standing.step(standing.refilter(series(3, 3)), START, 3.0, 0.3, series="five")


@given(st.lists(st.integers(0, 30), min_size=1, max_size=12))
def test_variances_stay_variances(values: list[int]) -> None:
    state = standing.refilter(series(*(value / 6 for value in values)))
    assert state is not None
    assert state.level_var > 0
    assert state.rate_var > 0
    assert state.cross**2 <= state.level_var * state.rate_var
