"""Axes of drawings: straight, with round ticks that hold every value."""

import itertools
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import chart_scale, chart_time
from scoring.rules.chart_scale import Scale

VALUES = st.floats(0, 5, allow_nan=False)
HEAVY = st.lists(st.floats(5, 1500, allow_nan=False), min_size=1, max_size=30)
WHEN = st.dates(date(1990, 1, 1), date(2090, 1, 1)).map(
    lambda on: datetime(on.year, on.month, on.day, 9, 40, tzinfo=UTC)
)


@given(st.floats(-1e4, 1e4), st.floats(1e-2, 1e4), st.floats(0, 900), st.floats(1, 900), VALUES)
def test_a_scale_goes_there_and_back(
    low: float, span: float, start: float, length: float, share: float
) -> None:
    scale = Scale(low, low + span, start, start - length)
    value = low + span * share / 5
    place = scale.at(value)
    assert start - length - 1e-6 <= place <= start + 1e-6
    assert scale.back(place) == pytest.approx(value, abs=1e-6 * (1 + abs(low) + span))


@given(st.floats(10, 900), st.floats(10, 900), VALUES, VALUES)
def test_equal_steps_are_equally_long(start: float, end: float, one: float, two: float) -> None:
    scale = Scale(0, 5, start, end)
    assert scale.at(one) + scale.at(two) == pytest.approx(scale.at(one + two) + scale.at(0))


@given(st.lists(VALUES, max_size=20))
def test_a_score_axis_has_every_half_point_begins_at_one_and_a_half_or_lower_and_cuts_nothing(
    values: list[float],
) -> None:
    axis = chart_scale.of_scores(values, 0, 5)
    assert axis.low <= 1.5
    assert axis.high == 5
    assert all(axis.low <= each <= axis.high for each in values)
    assert [each * 2 for each in axis.at] == list(range(round(axis.low * 2), 11))
    assert axis.low >= 0
    # No lower than it must: half a point under the lowest at most.
    assert axis.low == 1.5 or min(values) - axis.low < 0.5


def test_a_scale_that_begins_at_one_is_shown_from_one() -> None:
    assert chart_scale.of_scores([5.0], 1, 9)[:2] == (1, 9)
    assert chart_scale.of_scores([], 1, 5).at == tuple(each / 2 for each in range(2, 11))


@given(HEAVY, st.sampled_from([10.0, 40.0, 88.2]))
def test_a_weight_axis_holds_every_value_by_few_round_steps(
    values: list[float], least: float
) -> None:
    axis = chart_scale.of_amounts(values, least)
    assert axis.low - 1e-6 <= min(values)
    assert max(values) <= axis.high + 1e-6
    assert axis.high - axis.low >= min(least, max(values)) - 1e-6
    assert 2 <= len(axis.at) <= 6
    steps = {round(b - a, 6) for a, b in itertools.pairwise(axis.at)}
    assert len(steps) == 1
    [step] = steps
    assert f"{step:e}"[0] in "125"
    assert all(round(each / step, 6) % 1 == 0 for each in axis.at)
    # Not much wider than what it holds.
    assert axis.high - axis.low <= max(max(values) - min(values), least) + 2 * step + 1e-6


def test_a_small_wobble_is_not_drawn_as_a_fall() -> None:
    axis = chart_scale.of_amounts([440.0, 441.0], 40)
    assert axis.high - axis.low >= 40


def test_no_value_begins_at_nought() -> None:
    assert chart_scale.of_amounts([], 40).low == 0


@given(WHEN, st.integers(14, 12_000), st.sampled_from([31.0, 38.0]))
def test_months_are_firsts_in_order_and_far_enough_apart(
    first: datetime, days: int, least: float
) -> None:
    last = first + timedelta(days=days)
    along = chart_time.scale(first, last, 40, 798)
    ticks = chart_time.ticks(first, last, "Europe/London", along, least)
    assert all(each.on.day == 1 for each in ticks)
    assert all(40 - 1e-6 <= each.x <= 798 + 1e-6 for each in ticks)
    places = [each.x for each in ticks]
    assert all(b - a >= least for a, b in itertools.pairwise(places))
    if days > 62:
        assert ticks


def test_a_month_begins_at_the_yards_own_midnight() -> None:
    first, last = datetime(2026, 6, 15, tzinfo=UTC), datetime(2026, 7, 15, tzinfo=UTC)
    along = chart_time.scale(first, last, 0, 30 * 24)
    [tick] = chart_time.ticks(first, last, "Europe/London", along, 30)
    # Summer time: the first of July begins at 23:00 UTC of June, an hour of one pixel earlier.
    assert tick.on == date(2026, 7, 1)
    assert tick.x == pytest.approx(16 * 24 - 1)
