"""The smoother: against statsmodels and the Nile, its intervals, and that no line joins a break."""

import math
import random
from datetime import datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import baseline, checked, outlook, smoothing, trend
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside
from tests.rules import state_space, true_animals
from tests.rules.state_space import Seen, at, readings
from tests.rules.test_trend import EVERY_MODEL, EVERY_SERIES, NILE_MODEL, nile_readings
from tests.rules.test_trend_properties import MODELS, histories

STATSMODELS = "statsmodels, KalmanSmoother with an exact diffuse level, run beside ours"
NILE = "Durbin and Koopman 2012, chapter 2: its series and variances, figures worked out apart"


def scores(*days: float) -> list[trend.Reading]:
    return [trend.Reading(at(day), 3 + math.sin(day), 0.3, "five") for day in days]


def only(lines: list[smoothing.Line]) -> smoothing.Line:
    [line] = lines
    return line


def days_of(line: smoothing.Line) -> list[float]:
    return [(each.at - state_space.START).total_seconds() / trend.DAY for each in line.points]


def variance(span: outlook.Span) -> float:
    return ((span.high - span.low) / 2 / outlook.Z80) ** 2


@EVERY_SERIES
@EVERY_MODEL
@outside(
    "smoothed level and rate with variances, at readings and between them, to 1e-8",
    source=STATSMODELS,
    status=WITHIN_TOLERANCE,
)
def test_the_smoother_is_the_one_of_statsmodels(seen: list[Seen], model: trend.Model) -> None:
    """Times without a reading are asked for; statsmodels has them as missing values."""
    result = state_space.solved(seen, model)
    theirs = state_space.rows(result.smoothed_state, result.smoothed_state_cov)
    days = [at(each.day) for each in seen]
    points = only(smoothing.smooth(readings(seen), model=model, at=days)).points
    assert [each.at for each in points] == days
    assert [each.read for each in points] == [each.value is not None for each in seen]
    ours = [
        [each.level.value, each.rate.value, variance(each.level), variance(each.rate)]
        for each in points
    ]
    np.testing.assert_allclose(ours, theirs[:, [0, 1, 2, 4]], rtol=1e-8, atol=1e-12)


@outside(
    "Nile: the smoothed level of the first year, 1111.668 at 15099 and 1469.1",
    source=NILE,
    status=FROM_MEMORY,
)
def test_the_nile_is_smoothed_as_from_the_book() -> None:
    points = only(smoothing.smooth(nile_readings(), model=NILE_MODEL)).points
    assert points[0].level.value == pytest.approx(1111.668, abs=0.0005)
    # The last year has no later one to learn from.
    assert points[-1].level.value == pytest.approx(798.370, abs=0.0005)
    assert {each.rate for each in points} == {outlook.Span(0.0, 0.0, 0.0)}


def test_no_line_joins_readings_on_two_sides_of_a_break() -> None:
    taken = scores(0, 14, 28, 42, 56, 70)
    resets = baseline.of_foalings([at(35)])
    asked = [at(day) for day in (7, 30, 35, 40, 49)]
    lines = smoothing.smooth(taken, resets=resets, at=asked)
    assert [each.reason for each in lines] == ["", baseline.FOALED]
    assert days_of(lines[0]) == [0, 7, 14, 28]
    assert days_of(lines[1]) == [42, 49, 56, 70]
    assert lines[0] == only(smoothing.smooth(taken[:3], at=asked[:1]))
    assert lines[1].points == only(smoothing.smooth(taken[3:], at=asked[-1:])).points


def test_each_break_says_its_reason_and_each_line_its_scale() -> None:
    nine = [each._replace(series="nine") for each in scores(14, 28)]
    lines = smoothing.smooth([*scores(0), *nine, *[e._replace(series="nine") for e in scores(200)]])
    assert [(each.reason, each.series) for each in lines] == [
        ("", "five"),
        (baseline.SERIES, "nine"),
        (baseline.GAP, "nine"),
    ]


@pytest.mark.parametrize(
    ("days", "lacking"),
    [
        ((0,), outlook.NOT_ENOUGH),
        ((0, 60), outlook.NOT_ENOUGH),
        ((0, 6, 13.9), outlook.TOO_CLOSE),
        ((0, 7, 14), ""),
    ],
)
def test_a_line_says_when_it_must_not_be_shown(days: tuple[float, ...], lacking: str) -> None:
    assert only(smoothing.smooth(scores(*days))).lacking == lacking


def test_after_the_last_reading_the_line_goes_on_as_the_filter_expects() -> None:
    taken = scores(0, 14, 28)
    state = trend.refilter(taken)
    assert state is not None
    line = only(smoothing.smooth(taken, at=[at(day) for day in (28.5, 60, 148, 148.1, 500)]))
    assert days_of(line) == [0, 14, 28, 28.5, 60, 148]
    for point in line.points[2:]:
        expected = trend.ahead(state, point.at.timestamp(), trend.SCORE)
        assert point.level == outlook.span(expected.level, expected.level_var)
        assert point.rate == outlook.span(expected.rate, expected.rate_var)


def test_after_the_last_reading_the_line_ends_at_a_reset() -> None:
    resets = baseline.of_foalings([at(40)])
    asked = [at(day) for day in (39.999, 40, 50)]
    assert days_of(only(smoothing.smooth(scores(0, 28), resets=resets, at=asked))) == pytest.approx(
        [0, 28, 39.999]
    )


def test_a_time_is_answered_once_and_times_before_the_first_never() -> None:
    asked = [at(day) for day in (-1, 7, 7, 14, 0)]
    assert days_of(only(smoothing.smooth(scores(0, 14, 28), at=asked))) == [0, 7, 14, 28]


def test_no_reading_is_no_line_and_one_is_a_point() -> None:
    assert smoothing.smooth([], at=[at(0)]) == []
    line = only(smoothing.smooth(scores(0)))
    [point] = line.points
    assert point.level == outlook.span(3.0, 0.09)


def test_two_readings_at_one_time_say_the_same() -> None:
    both = [*scores(0, 14), trend.Reading(at(14), 2.0, 0.5, "five"), *scores(28)]
    points = only(smoothing.smooth(both)).points
    assert len(points) == 4
    assert points[1].level == pytest.approx(points[2].level)


def test_readings_out_of_order_and_times_without_a_zone_are_refused() -> None:
    with pytest.raises(trend.OutOfOrder):
        smoothing.smooth(scores(14, 0))
    with pytest.raises(checked.OutOfRange):
        smoothing.smooth(scores(0, 14), at=[datetime(2026, 1, 1)])  # noqa: DTZ001


@given(histories(), MODELS, st.lists(st.floats(0, 300), max_size=5))
def test_no_interval_is_turned_and_all_numbers_are_finite(
    taken: list[trend.Reading], model: trend.Model, asked: list[float]
) -> None:
    for line in smoothing.smooth(taken, model=model, at=[at(day) for day in asked]):
        for point in line.points:
            for span in (point.level, point.rate):
                assert all(math.isfinite(each) for each in span)
                assert span.low <= span.value <= span.high


def test_rounding_takes_no_smoothed_variance_below_zero() -> None:
    """A level and a rate that move as one, weighed against each other: the sum rounds below it."""
    turned = 0
    for n in range(1, 300):
        rate_sd = n / 70
        covariance = (1e12, 1e6 * rate_sd, rate_sd * rate_sd)
        by = (rate_sd, -1e6, rate_sd / 3, -1e6 / 3)
        raw = by[0] * (by[0] * 1e12 + 2 * by[1] * covariance[1]) + by[1] ** 2 * covariance[2]
        turned += raw < 0
        level_var, _, rate_var = smoothing._carried(by, covariance)
        assert level_var >= 0
        assert rate_var >= 0
    assert turned > 20


@given(st.lists(st.integers(0, 30), min_size=2, max_size=20))
def test_later_readings_make_nothing_less_sure(values: list[int]) -> None:
    taken = [trend.Reading(at(14 * n), each / 6, 0.3, "five") for n, each in enumerate(values)]
    points = only(smoothing.smooth(taken)).points
    for state, point in zip(trend.filtered(taken), points, strict=True):
        assert variance(point.level) <= state.level_var * (1 + 1e-9)
        assert variance(point.rate) <= state.rate_var * (1 + 1e-9)


def test_intervals_of_80_per_cent_hold_the_truth_80_times_in_100() -> None:
    """1,500 invented animals of the model itself; 76 to 84% is four standard errors."""
    rng, held = random.Random(14), {"read": 0, "between": 0, "rate": 0, "after": 0}
    for _ in range(1500):
        days = sorted(rng.uniform(0, 110) for _ in range(9))
        taken, truths = true_animals.animal([*days, 120.0], 0.3, trend.SCORE, rng)
        kept = [each for n, each in enumerate(taken) if n not in (4, 9)]
        asked = [at(days[4]), at(120.0)]
        points = only(smoothing.smooth(kept, at=asked)).points
        read, between, after = points[2], points[4], points[9]
        assert (read.read, between.read, after.read) == (True, False, False)
        held["read"] += read.level.low <= truths[2].level <= read.level.high
        held["between"] += between.level.low <= truths[4].level <= between.level.high
        held["rate"] += between.rate.low <= truths[4].rate <= between.rate.high
        held["after"] += after.level.low <= truths[9].level <= after.level.high
    assert {name: 0.76 <= n / 1500 <= 0.84 for name, n in held.items()} == dict.fromkeys(held, True)
