"""What is drawn lies where its value says, within half a pixel, and inside the frame."""

import random
import re
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import chart_path, chart_plot, chart_scale, chart_shape, chart_thin, chart_time
from scoring.rules.chart_line import Node
from scoring.rules.chart_path import Spot
from scoring.rules.chart_plot import Edges, Frame
from scoring.rules.chart_scale import Scale

BEGAN = datetime(2026, 1, 1, tzinfo=UTC)
ENDED = BEGAN + timedelta(days=365)
FRAME = Frame(chart_time.scale(BEGAN, ENDED, 40, 798), Scale(1.5, 5, 252, 30))
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
READING = st.tuples(st.floats(0, 365), st.floats(1.5, 5))
EVERY_SHAPE = (
    *(*chart_shape.HANDS, chart_shape.VET, chart_shape.SEEN, chart_shape.OTHERS),
    *chart_shape.METHODS.values(),
)


def spots(d: str) -> list[Spot]:
    numbers = [float(each) for each in NUMBER.findall(d)]
    return [Spot(*pair) for pair in zip(numbers[::2], numbers[1::2], strict=True)]


def nodes(taken: list[tuple[float, float]]) -> list[Node]:
    return [
        Node(BEGAN + timedelta(days=days), level, max(level - 0.3, 1.5), min(level + 0.3, 5))
        for days, level in sorted(taken)
    ]


@given(READING)
def test_a_spot_lies_where_its_value_says(taken: tuple[float, float]) -> None:
    days, value = taken
    spot = FRAME.spot(BEGAN + timedelta(days=days), value)
    # By the proportions of the frame, reckoned here apart from the scale.
    assert spot.x == pytest.approx(40 + days / 365 * 758, abs=1e-3)
    assert spot.y == pytest.approx(252 - (value - 1.5) / 3.5 * 222, abs=1e-6)


@given(st.lists(READING, min_size=2, max_size=60))
def test_a_line_goes_through_its_values_within_half_a_pixel(
    taken: list[tuple[float, float]],
) -> None:
    run = nodes(taken)
    drawn = spots(chart_plot.lines(FRAME, [run]).line)
    assert len(drawn) == len(run)
    for each, spot in zip(run, drawn, strict=True):
        true = FRAME.spot(each.at, each.level)
        assert abs(true.x - spot.x) <= 0.5
        assert abs(true.y - spot.y) <= 0.5


@given(st.lists(READING, min_size=1, max_size=400))
def test_nothing_lies_outside_the_frame(taken: list[tuple[float, float]]) -> None:
    run = nodes(taken)
    drawn = chart_plot.lines(FRAME, [run])
    ends = chart_plot.whiskers(FRAME, ((each.at, each.low, each.high) for each in run))
    edges = [Edges(each.at, 2, 2.5, 3) for each in run]
    band = chart_plot.band(FRAME, edges)
    for spot in spots(" ".join((*drawn, *band, ends))):
        assert 40 <= spot.x <= 798
        assert 30 <= spot.y <= 252


def test_an_interval_is_as_wide_as_it_says() -> None:
    run = [Node(BEGAN, 3, 2.5, 3.5), Node(ENDED, 4, 3.75, 4.25)]
    ribbon = spots(chart_plot.lines(FRAME, [run]).ribbon)
    told = [FRAME.up.back(each.y) for each in ribbon]
    assert told == pytest.approx([3.5, 4.25, 3.75, 2.5], abs=0.002)


def test_edges_of_a_band_are_stairs_and_its_aim_is_not() -> None:
    half = BEGAN + timedelta(days=182.5)
    band = chart_plot.band(FRAME, [Edges(BEGAN, 2, 2.25, 3), Edges(half, 2.5, 2.75, 3)])
    levels = [round(FRAME.up.back(each.y), 2) for each in spots(band.edges)]
    assert levels == [2, 2, 2.5, 2.5, 3, 3]
    places = [each.x for each in spots(band.edges)]
    assert places == [40, 419, 419, 798, 40, 798]
    assert len(spots(band.aim)) == 2
    assert chart_plot.band(FRAME, []) == ("", "", "")


@pytest.mark.parametrize("shape", EVERY_SHAPE)
@given(st.floats(0, 800), st.floats(0, 450))
def test_a_shape_has_its_point_in_its_middle(shape: str, x: float, y: float) -> None:
    d = chart_shape.path(shape, x, y, 5)
    if shape in ("circle", "ring"):
        left, middle = (float(each) for each in NUMBER.findall(d)[:2])
        assert (left + 5, middle) == pytest.approx((x, y), abs=0.5)
        return
    corners = spots(d)
    across, down = ([getattr(each, axis) for each in corners] for axis in ("x", "y"))
    assert abs((min(across) + max(across)) / 2 - x) <= 0.5
    assert min(down) < y < max(down)
    assert max(down) - min(down) <= 15


def test_every_shape_is_another() -> None:
    apart = {(chart_shape.path(each, 0, 0, 5), each in chart_shape.OPEN) for each in EVERY_SHAPE}
    assert len(apart) == len(EVERY_SHAPE)


def test_hands_keep_their_shapes_and_vets_share_the_triangle() -> None:
    hands = [("maud", False), ("keziah", True), ("tobias", False), ("maud", False), ("ann", True)]
    assert chart_shape.of_hands(hands) == {
        "maud": "circle",
        "keziah": "triangle",
        "tobias": "square",
        "ann": "triangle",
    }
    many = chart_shape.of_hands((str(each), False) for each in range(20))
    assert list(many.values())[:7] == list(chart_shape.HANDS)
    assert set(list(many.values())[7:]) == {chart_shape.OTHERS}


def test_few_points_are_all_drawn() -> None:
    assert chart_thin.kept([5.0] * 250, [1.0] * 250) == list(range(250))


@given(st.randoms(use_true_random=True), st.integers(300, 900))
def test_of_very_many_the_extremes_stay(draw: random.Random, many: int) -> None:
    taken = [(draw.uniform(0, 365), draw.uniform(1.5, 5)) for _ in range(many)]
    across = [FRAME.along.at((BEGAN + timedelta(days=days)).timestamp()) for days, _ in taken]
    along = [value for _, value in taken]
    kept = chart_thin.kept(across, along)
    assert kept == sorted(set(kept))
    assert len(kept) <= 2 * (758 / chart_thin.COLUMN + 2) + 2
    assert {0, len(taken) - 1} <= set(kept)
    for column in {int(x // chart_thin.COLUMN) for x in across}:
        inside = [v for x, v in zip(across, along, strict=True) if x // chart_thin.COLUMN == column]
        drawn = [along[each] for each in kept if across[each] // chart_thin.COLUMN == column]
        assert (min(drawn), max(drawn)) == (min(inside), max(inside))


def test_numbers_are_short() -> None:
    assert [chart_path.number(each) for each in (3.0, 3.14, -0.04, 798.96)] == [
        "3",
        "3.1",
        "0",
        "799",
    ]


def test_a_line_takes_two_spots() -> None:
    assert chart_path.line([Spot(1, 2)]) == ""
    assert chart_path.area([Spot(1, 2)], [Spot(1, 3)]) == ""
    assert chart_scale.of_scores([], 0, 5).low == 1.5
