"""Where a line is drawn: not across a baseline, not over more than 90 days without a reading."""

import itertools
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import chart_line
from scoring.rules.chart_line import Gap, Node

BEGAN = datetime(2026, 1, 1, tzinfo=UTC)
DAYS = st.lists(st.integers(0, 1500), min_size=1, max_size=40, unique=True)


def day(number: float) -> datetime:
    return BEGAN + timedelta(days=number)


def node(number: float, baseline: int = 0) -> Node:
    return Node(day(number), 3, 2.8, 3.2, baseline)


def test_ninety_days_are_joined_and_ninety_one_are_not() -> None:
    assert chart_line.gaps([day(0), day(90)], day(100)) == []
    assert chart_line.gaps([day(0), day(91)], day(100)) == [Gap(day(0), day(91))]


def test_a_gap_that_lasts_has_no_end() -> None:
    assert chart_line.gaps([day(0), day(30)], day(121)) == [Gap(day(30), None)]
    assert chart_line.gaps([day(0), day(30)], day(120)) == []
    assert chart_line.gaps([], day(1000)) == []


def test_nothing_is_drawn_inside_a_gap() -> None:
    nodes = [node(each) for each in range(0, 140, 7)]
    gaps = chart_line.gaps([day(0), day(7), day(105), day(133)], day(133))
    runs = chart_line.runs(nodes, gaps)
    assert [[(each.at - BEGAN).days for each in run] for run in runs] == [
        [0, 7],
        [105, 112, 119, 126, 133],
    ]


def test_two_baselines_are_never_joined() -> None:
    runs = chart_line.runs([node(0), node(7), node(8, 1), node(20, 1)], [])
    assert [len(run) for run in runs] == [2, 2]


@given(DAYS, st.integers(0, 200))
def test_no_piece_reaches_over_a_gap_and_every_reading_is_in_one(
    taken: list[int], since: int
) -> None:
    times = sorted(taken)
    now = day(times[-1] + since)
    nodes = [node(each / 2) for each in range(times[0] * 2, (times[-1] + since) * 2)]
    nodes = sorted({*nodes, *(node(each) for each in times)})
    gaps = chart_line.gaps(map(day, taken), now)
    runs = chart_line.runs(nodes, gaps)
    for run in runs:
        for before, after in itertools.pairwise(run):
            assert not any(before.at <= gap.since < after.at for gap in gaps)
            assert after.at - before.at <= chart_line.LONGEST_GAP
    drawn = {each.at for run in runs for each in run}
    assert {day(each) for each in times} <= drawn


def test_the_nearest_is_found_within_reach() -> None:
    nodes = [node(0), node(10)]
    assert chart_line.nearest(nodes, day(9), timedelta(days=14)) == node(10)
    assert chart_line.nearest(nodes, day(30), timedelta(days=14)) is None
    assert chart_line.nearest([], day(0), timedelta(days=14)) is None


def test_a_line_ends_where_the_axis_does() -> None:
    line = [Node(day(0), 2, 1, 3), Node(day(10), 3, 1, 5)]
    assert chart_line.up_to(line, day(5)) == (line[0], Node(day(5), 2.5, 1, 4))
    assert chart_line.up_to(line, day(10)) == tuple(line)
    assert chart_line.up_to(line, day(-1)) == ()
