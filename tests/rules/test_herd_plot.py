"""The herd's drawings: everything lies where its value says."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import herd_place, herd_plot, herd_share

COUNTS = st.integers(10, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


def test_a_place_is_inked_in_its_own_lane() -> None:
    above, within, below = (
        herd_plot.lane(each) for each in (herd_place.ABOVE, herd_place.WITHIN, herd_place.BELOW)
    )
    assert 0 <= above[0] < above[1] <= herd_plot.BAND_TOP
    assert herd_plot.BAND_TOP <= within[0] < within[1] <= herd_plot.BAND_BOTTOM
    assert herd_plot.BAND_BOTTOM <= below[0] < below[1] <= herd_plot.SIDE


@pytest.mark.parametrize("letter", list(herd_place.PLACES))
def test_a_cells_path_stays_in_its_lane(letter: str) -> None:
    top, bottom = herd_plot.lane(letter)
    path = herd_plot.cell(letter)
    heights = [
        float(each)
        for each in re.findall(r"[\d.]+ ([\d.]+)|V([\d.]+)", path)
        for each in each
        if each
    ]
    widths = [float(each) for each in re.findall(r"(?:M|L|H)([\d.]+)", path)]
    assert {min(heights), max(heights)} == {top, bottom}
    assert min(widths) >= 0
    assert max(widths) <= herd_plot.SIDE
    # Told apart without colour: two filled, one striped.
    assert path.count("M") == (1 if letter != herd_place.BELOW else path.count("L"))


@given(st.sampled_from((360.0, 760.0)), st.lists(st.none() | COUNTS, min_size=12, max_size=24))
def test_a_share_stands_over_its_month_at_its_height(
    width: float, counts: list[tuple[int, int] | None]
) -> None:
    along, up = herd_plot.frame(width, len(counts)), herd_plot.panel(1, 1.0)
    shares = [None if each is None else herd_share.share(*each) for each in counts]
    marks = herd_plot.marks(along, up, shares)
    step = (along.right - along.left) / len(counts)
    for column, (mark, share) in enumerate(zip(marks, shares, strict=True)):
        assert (mark is None) == (share is None)
        if mark is None or share is None:
            continue
        assert mark.x == pytest.approx(along.left + step / 2 + column * step)
        for y, value in ((mark.y, share.value), (mark.top, share.high), (mark.bottom, share.low)):
            assert (up.bottom - y) / (up.bottom - up.top) == pytest.approx(value)
        assert up.top <= mark.top <= mark.y <= mark.bottom <= up.bottom


def test_plots_stand_below_one_another() -> None:
    first, second = herd_plot.panel(0, 1.0), herd_plot.panel(1, 1.0)
    assert first.bottom < second.top


@given(st.integers(0, 500), st.integers(0, 500))
def test_a_bar_is_as_high_as_its_count(low: int, more: int) -> None:
    up = herd_plot.panel(0, herd_plot.nice(low + more))
    path = herd_plot.bar(100, 20, up, low, low + more)
    if not more:
        assert path == ""
        return
    left, bottom, top, right, again = (float(each) for each in re.findall(r"-?[\d.]+", path))
    assert (left, right, bottom) == (90, 110, again)
    scale = (up.bottom - up.top) / up.most
    assert (bottom - top) == pytest.approx(more * scale, abs=0.11)
    assert (up.bottom - bottom) == pytest.approx(low * scale, abs=0.06)
    for y in re.findall(r" ([\d.]+)h", herd_plot.stripes(100, 20, up, low, low + more)):
        assert top - 0.06 <= float(y) <= bottom


@given(st.integers(1, 10**6))
def test_a_round_number_is_no_less_and_not_much_more(most: int) -> None:
    found = herd_plot.nice(most)
    assert most <= found
    assert found <= 2.5 * most
    assert str(found).rstrip("0") in {"1", "2", "5"}
