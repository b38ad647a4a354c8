"""What the filter keeps whatever comes: order, rows, numbers that stay numbers, named refusals."""

import json
import math
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import baseline, checked, standing, trend, trend_likelihood
from tests.rules.state_space import START, at

A_READING = trend.Reading(START, 3.0, 0.3, "five")
# From a microsecond apart to years, and a ruler's noise beside a guess's.
GAPS = st.one_of(
    st.sampled_from([0.0, 1e-11, 1e-6, 0.5, 14.0, 119.9, 120.0, 120.1, 4000.0]),
    st.floats(0.0, 200.0),
)
NOISES = st.one_of(
    st.sampled_from([trend.LEAST_NOISE, 0.3, trend.MOST_NOISE]), st.floats(1e-6, 1e6)
)
VALUES = st.one_of(
    st.sampled_from([-trend.MOST_VALUE, 0.0, trend.MOST_VALUE]), st.floats(-1e9, 1e9)
)
SPEEDS = st.one_of(st.sampled_from([0.0, 1e-12, 1.0, trend.MOST_SPEED]), st.floats(0.0, 1e6))
DOUBTS = st.sampled_from([0.0, 0.1, trend.MOST_NOISE])
MODELS = st.builds(trend.Model, SPEEDS, SPEEDS, SPEEDS)


@st.composite
def histories(draw: st.DrawFn) -> list[trend.Reading]:
    """Return readings in order, of extreme gaps, noises, values and offsets."""
    days, found = 0.0, []
    for _ in range(draw(st.integers(1, 12))):
        days += draw(GAPS)
        offset = draw(VALUES)
        hands = draw(st.sets(st.sampled_from(["hand:1", "hand:2", "tool:7"]), max_size=2))
        doubts = tuple((key, draw(DOUBTS)) for key in sorted(hands))
        series = draw(st.sampled_from(["five", "five", "five", "nine"]))
        found.append(trend.Reading(at(days), draw(VALUES), draw(NOISES), series, offset, doubts))
    return found


def arrived(readings: list[trend.Reading], resets: tuple[baseline.Reset, ...]) -> trend.State:
    """Return the state after readings in the order of their coming, as a standing is kept."""
    state: trend.State | None = None
    known: list[trend.Reading] = []
    for each in readings:
        known.append(each)
        try:
            state = trend.take(state, each, resets=resets)
        except trend.OutOfOrder:
            state = trend.refilter(sorted(known), resets=resets)
    assert state is not None
    return state


@given(
    st.lists(
        st.tuples(st.integers(0, 400), st.integers(0, 30)),
        min_size=1,
        max_size=14,
        unique_by=lambda each: each[0],
    ),
    st.lists(st.integers(0, 400), max_size=3),
)
def test_the_order_of_coming_changes_nothing(
    taken: list[tuple[int, int]], foaled: list[int]
) -> None:
    readings = [trend.Reading(at(day), sixths / 6, 0.3, "five") for day, sixths in taken]
    resets = baseline.of_foalings(at(day) for day in foaled)
    assert arrived(readings, resets) == trend.refilter(sorted(readings), resets=resets)


@given(histories(), MODELS)
def test_no_variance_falls_below_zero_and_all_numbers_are_finite(
    readings: list[trend.Reading], model: trend.Model
) -> None:
    state = None
    for each in readings:
        assert math.isfinite(trend_likelihood.of_one(state, each, model=model))
        state = trend.take(state, each, model=model)
        known = trend.whole(state)
        assert all(math.isfinite(number) for number in (*state[1:9], *known[1:9]))
        assert known.level_var >= state.level_var
        assert known.rate_var >= state.rate_var
        assert state.level_var > 0
        assert state.rate_var >= 0
        assert state.cross**2 <= state.level_var * state.rate_var * (1 + 1e-9)
    assert math.isfinite(trend_likelihood.of(readings, model=model))


def test_rounding_takes_no_variance_below_zero() -> None:
    """Level and rate known to move as one, and read exactly: the determinant rounds below zero."""
    turned = 0
    for n in range(1, 200):
        rate_sd = n / 70
        state = trend.State("", 0.0, 0.0, 1, 0.0, 0.0, 1e12, 1e6 * rate_sd, rate_sd * rate_sd)
        turned += state.level_var * state.rate_var < state.cross**2
        after = trend.step(state, datetime.fromtimestamp(0, UTC), 1.0, trend.LEAST_NOISE)
        assert after.rate_var >= 0
        assert after.level_var > 0
    assert turned > 20


@given(histories(), MODELS, st.floats(0, 60), st.floats(0, 60))
def test_two_short_times_are_one_long_one(
    readings: list[trend.Reading], model: trend.Model, first: float, second: float
) -> None:
    state = trend.refilter(readings, model=model)
    assert state is not None
    once = trend.ahead(state, state.at + (first + second) * trend.DAY, model)
    half = trend.ahead(state, state.at + first * trend.DAY, model)
    twice = trend.ahead(half, once.at, model)
    # The clock in seconds resolves about a quarter of a microsecond.
    assert twice[4:9] == pytest.approx(once[4:9], rel=1e-6, abs=1e-6)
    for key, pull in once.shared.items():
        assert twice.shared[key] == pytest.approx(pull, rel=1e-6, abs=1e-6)


@given(histories())
def test_a_row_keeps_the_state(readings: list[trend.Reading]) -> None:
    state = trend.refilter(readings)
    assert state is not None
    kept = json.loads(json.dumps(state.plain()))
    assert trend.State.of(kept) == state


def test_rows_of_the_first_release_are_still_read() -> None:
    """A row as it was before it kept what readings share: one hand, that nobody named, did all."""
    row = {
        "series": "five",
        "at": 1767225600.0,
        "first_at": 1766016000.0,
        "count": 2,
        "level": 3.1,
        "rate": 0.01,
        "level_var": 0.05,
        "cross": 0.001,
        "rate_var": 0.0001,
    }
    state = trend.State.of(row)
    assert state is not None
    assert state.plain() == {**row, "shared": {"unnamed": [1.0, 0.0, 0.3]}}
    assert trend.State.of(None) is None
    assert trend.step(state, at(735), 3.0, 0.3, series="five").count == 3


def test_no_reading_is_no_state() -> None:
    assert trend.refilter([]) is None
    assert trend_likelihood.of([]) == trend_likelihood.of([A_READING]) == 0.0
    assert list(trend.filtered([])) == []


def test_one_reading_is_the_level_itself() -> None:
    state = trend.refilter([A_READING])
    assert state is not None
    assert (state.count, state.level, state.rate, state.cross) == (1, 3.0, 0.0, 0.0)
    assert state.level_var == pytest.approx(0.09)
    assert state.rate_var == trend.SCORE.rate_sd**2


REFUSED = {
    "no number": ({"value": math.nan}, "value"),
    "infinite": ({"value": math.inf}, "value"),
    "beyond all sense": ({"value": -1.1e9}, "value"),
    "no noise": ({"noise": 0.0}, "noise"),
    "noise below zero": ({"noise": -0.3}, "noise"),
    "noise no number": ({"noise": math.nan}, "noise"),
    "noise without end": ({"noise": 1.1e6}, "noise"),
    "offset no number": ({"offset": math.nan}, "offset"),
    "offset infinite": ({"offset": -math.inf}, "offset"),
    "doubt below zero": ({"doubts": (("hand:1", -0.1),)}, "offset_sd"),
    "doubt no number": ({"doubts": (("hand:1", math.nan),)}, "offset_sd"),
    "no zone": ({"at": datetime(2026, 1, 1)}, "at"),  # noqa: DTZ001
}


@pytest.mark.parametrize(("wrong", "field"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_is_refused_by_its_field(wrong: dict[str, Any], field: str) -> None:
    reading = A_READING._replace(**wrong)
    for refused in (
        lambda: trend.take(None, reading),
        lambda: trend.take(trend.refilter([A_READING]), reading),
        lambda: list(trend.filtered([reading])),
        lambda: trend_likelihood.of([reading]),
    ):
        with pytest.raises(checked.OutOfRange) as found:
            refused()
        assert found.value.field == field
        assert found.value.allowed in str(found.value)


@pytest.mark.parametrize("field", ["rate_sd", "drift", "wander"])
@pytest.mark.parametrize("number", [-1e-9, math.nan, math.inf, 1.1e6])
def test_a_model_that_cannot_be_is_refused_by_its_field(field: str, number: float) -> None:
    with pytest.raises(checked.OutOfRange) as found:
        trend.Model(**{"rate_sd": 0.01, "drift": 1e-6, field: number})
    assert (found.value.field, found.value.allowed) == (field, "0 to 1e+06")


def test_an_older_reading_is_out_of_order_in_a_baseline_too() -> None:
    older = A_READING._replace(at=START - timedelta(seconds=1))
    with pytest.raises(trend.OutOfOrder):
        list(trend.filtered([A_READING, older]))


def test_the_standing_offers_the_same_trend() -> None:
    """What actions and queries call by the standing's name is the trend's own."""
    assert (standing.step, standing.refilter) == (trend.step, trend.refilter)
    taken = [standing.score_reading(at(14 * n), 18, "five") for n in range(3)]
    assert trend.refilter(taken) == standing.refilter(taken)
    high = standing.score_reading(at(0), 24, "five", offset=0.5)
    assert high == (at(0), 4.0, 0.3, "five", 0.5, ())
    heavy = standing.weight_reading(at(0), 550, "weigh_tape", offset=math.log(1.1))
    assert math.exp(trend.take(None, heavy).level) == pytest.approx(500)
    assert trend.take(None, standing.girth_reading(at(0), 180, "girth_cm")).level == 180
    assert trend.take(None, standing.crest_reading(at(0), 7)).level == 3.5
    refused: list[Callable[[], Any]] = [
        lambda: standing.weight_reading(at(0), 0, "weigh_tape"),
        lambda: standing.weight_reading(at(0), 500, "guess"),
        lambda: standing.girth_reading(at(0), math.nan, "girth_cm"),
        lambda: standing.girth_reading(at(0), 180, "neck_cm"),
        lambda: standing.score_reading(at(0), 18, "six"),
        lambda: standing.score_reading(at(0), 31, "five"),
        lambda: standing.score_reading(at(0), 5, "nine"),
        lambda: standing.score_reading(at(0), math.nan, "five"),  # type: ignore[arg-type]
        lambda: standing.crest_reading(at(0), 11),
    ]
    for each in refused:
        with pytest.raises(checked.OutOfRange):
            each()
