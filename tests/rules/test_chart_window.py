"""Windows of a drawing, marks along it, and texts in a file."""

import itertools
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import chart_lane, chart_window
from scoring.rules.chart_window import Asked

NOW = datetime(2026, 11, 26, 9, 40, tzinfo=UTC)
LONDON = "Europe/London"
DAYS = st.one_of(st.none(), st.dates(date(1970, 1, 1), date(2100, 1, 1)))


def window(asked: Asked, earliest: datetime | None = None) -> chart_window.Window:
    return chart_window.of(asked, earliest=earliest, now=NOW, zone=LONDON)


@pytest.mark.parametrize(("key", "days"), [("3m", 92), ("1y", 365), ("2y", 731)])
def test_a_window_is_as_long_as_it_says_and_reaches_to_now(key: str, days: int) -> None:
    found = window(Asked(key))
    assert found.until - found.first == timedelta(days=days)
    assert found.until == NOW
    assert timedelta(0) < found.last - NOW <= timedelta(weeks=6)


def test_all_begins_before_the_first_reading() -> None:
    found = window(Asked("all"), NOW - timedelta(days=3000))
    assert found.first == NOW - timedelta(days=3001)
    assert window(Asked("all")).first == NOW - timedelta(days=365)


def test_a_window_of_the_past_ends_with_its_last_day_and_shows_nothing_to_come() -> None:
    found = window(Asked("1y", None, date(2026, 6, 30)))
    assert found.until == found.last == datetime(2026, 6, 30, 23, tzinfo=UTC)
    assert not found.is_now


def test_between_two_days_of_the_yard() -> None:
    found = window(Asked("own", date(2026, 3, 1), None))
    assert found.first == datetime(2026, 3, 1, tzinfo=UTC)
    assert found.until == NOW
    assert window(Asked("own", date(2026, 11, 20), None)).key == "1y", "too short to be a window"


def test_what_an_address_says_is_read_or_left_out() -> None:
    assert chart_window.asked("2y", "", "") == Asked("2y")
    assert chart_window.asked("nonsense", "", "2026-02-30") == Asked("1y")
    assert chart_window.asked("3m", "2026-03-01", "x") == Asked("own", date(2026, 3, 1))
    assert chart_window.asked("", "0001-01-01", "") == Asked("1y")


@given(st.sampled_from([*chart_window.KEYS, "own"]), DAYS, DAYS)
def test_any_window_can_be_drawn(key: str, since: date | None, until: date | None) -> None:
    found = window(Asked(key, since, until), NOW - timedelta(days=900))
    assert found.first < found.until <= NOW
    assert found.until <= found.last
    assert timedelta(days=14) <= found.until - found.first <= chart_window.LONGEST


def test_half_a_window_back_and_on() -> None:
    found = window(Asked("1y"))
    back = chart_window.earlier(found, LONDON)
    assert back == date(2026, 5, 27)
    before = window(Asked("1y", None, back))
    further = window(Asked("1y", None, chart_window.earlier(before, LONDON)))
    on = chart_window.later(further, NOW, LONDON)
    assert on is not None
    assert abs((on - back).days) <= 1
    assert chart_window.later(before, NOW, LONDON) is None, "half a year on is today"
    assert chart_window.later(found, NOW, LONDON) is None


@given(st.lists(st.floats(0, 800), max_size=60), st.floats(5, 40))
def test_boxes_of_marks_never_lie_over_each_other_and_none_is_lost(
    places: list[float], each_wide: float
) -> None:
    across, end = sorted(places), 800.0

    def wide(mark: chart_lane.Mark) -> float:
        # A box that holds more says so, and grows by it.
        return each_wide * (1 if mark.first == mark.last else 2)

    marks = chart_lane.laid(across, wide, end)
    boxes = [(start := chart_lane.left(each, wide, end), start + wide(each)) for each in marks]
    assert all(one[1] < other[0] for one, other in itertools.pairwise(boxes))
    assert all(right <= end + 1e-9 for _, right in boxes)
    counted = [place for each in marks for place in range(each.first, each.last + 1)]
    assert counted == list(range(1, len(across) + 1))
    assert all(each.x == across[each.first - 1] for each in marks)
