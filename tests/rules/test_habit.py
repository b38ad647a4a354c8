"""A reading taken otherwise than those before it is told, and nothing else is."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import habit, tape
from tests.outside import COMMON_PRACTICE, outside

LONDON = ZoneInfo("Europe/London")
START = datetime(2026, 1, 5, 7, 30, tzinfo=UTC)
WEEK = timedelta(days=7)


def taken(week: int, hour: float = 7.5, **facts: object) -> habit.Taken:
    at = START.replace(hour=0, minute=0) + WEEK * week + timedelta(hours=hour)
    given_ = {"method": "weigh_tape", "instrument": "blue", **facts}
    return habit.Taken(at=at, **given_)  # type: ignore[arg-type]


def keys(new: habit.Taken, earlier: list[habit.Taken]) -> list[str]:
    return [each.key for each in habit.breaks(new, earlier, LONDON)]


USUAL = [
    taken(week, fed="before_feed", side="left", position="foot_of_withers") for week in range(4)
]
SAME = taken(4, fed="before_feed", side="left", position="foot_of_withers")


@outside(
    "the same hour, tape, side and feed each time make two weights comparable",
    source="Weighing of one animal over time",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize(
    ("changed", "key", "field"),
    [
        ({"hour": 17}, "habit_hour", "taken_at"),
        ({"fed": "after_feed"}, "habit_fed", "fed"),
        ({"instrument": "red"}, "habit_instrument", "instrument"),
        ({"instrument": None}, "habit_instrument_unnamed", "instrument"),
        ({"side": "right"}, "habit_side", "tape_side"),
        ({"position": "top_of_withers"}, "habit_position", "tape_position"),
    ],
)
def test_each_break_is_told_at_its_field(changed: dict[str, object], key: str, field: str) -> None:
    facts = {"fed": "before_feed", "side": "left", "position": "foot_of_withers", **changed}
    new = taken(4, **facts)  # type: ignore[arg-type]
    assert [(each.key, each.field) for each in habit.breaks(new, USUAL, LONDON)] == [(key, field)]


def test_as_always_is_not_told() -> None:
    assert keys(SAME, USUAL) == []


@pytest.mark.parametrize("earlier", [[], USUAL[:1], USUAL[:2]])
def test_two_are_no_habit_yet(earlier: list[habit.Taken]) -> None:
    other = taken(4, 17, instrument="red", fed="after_feed", side="right")
    assert keys(other, earlier) == []


def test_what_was_not_noted_breaks_nothing() -> None:
    assert keys(taken(4), USUAL) == []
    blank = [taken(week, instrument=None) for week in range(4)]
    assert keys(SAME, blank) == []


def test_no_habit_where_they_never_agreed() -> None:
    mixed = [taken(week, hour=8 * (week % 3), instrument=f"tape {week}") for week in range(6)]
    assert keys(taken(6, 20), mixed) == []


def test_two_in_three_make_a_habit() -> None:
    colours = ["blue", "blue", "red", "blue", "red", "blue"]
    earlier = [taken(week, instrument=colour) for week, colour in enumerate(colours)]
    assert keys(taken(6, instrument="red"), earlier) == ["habit_instrument"]
    even = [*earlier, taken(6, instrument="red"), taken(6.5, instrument="red")]  # type: ignore[arg-type]
    assert keys(taken(7, instrument="red"), even) == []


def test_tapes_are_held_against_tapes_and_hours_against_all() -> None:
    new = taken(4, 17, method="weighbridge", instrument="lorry scales")
    assert keys(new, USUAL) == ["habit_hour"]


def test_another_formula_is_told() -> None:
    earlier = [
        taken(week, method="formula", instrument=None, formula="jones_1989") for week in range(3)
    ]
    new = taken(3, method="formula", instrument=None, formula="carroll_huntington_1988")
    [found] = habit.breaks(new, earlier, LONDON)
    assert (found.key, found.params) == ("habit_formula", {"formula": "jones_1989"})


def test_the_hour_is_the_yard_s_through_the_change_of_the_clocks() -> None:
    """Europe/London is an hour ahead of UTC from 29 March 2026 on (IANA time zone database)."""
    earlier = [
        habit.Taken(datetime(2026, 3, day, 7, 0, tzinfo=LONDON), "weigh_tape")
        for day in (3, 10, 17, 24)
    ]
    new = habit.Taken(datetime(2026, 3, 31, 9, 0, tzinfo=LONDON), "weigh_tape")
    assert habit.breaks(new, earlier, LONDON) == ()
    late = habit.Taken(datetime(2026, 3, 31, 9, 1, tzinfo=LONDON), "weigh_tape")
    assert [each.key for each in habit.breaks(late, earlier, LONDON)] == ["habit_hour"]
    [found] = habit.breaks(late, earlier, LONDON)
    assert found.params == {"hour": "07:00"}


def test_midnight_is_near_midnight() -> None:
    earlier = [taken(week, hour) for week, hour in enumerate((23.5, 24.25, 23.75, 24.0))]
    assert keys(taken(5, 25), earlier) == []
    assert keys(taken(5, 21), earlier) == ["habit_hour"]


def test_what_comes_later_or_is_long_past_is_no_habit() -> None:
    later = [taken(week, 17) for week in range(5, 9)]
    assert keys(SAME, later) == []
    assert keys(taken(60, 17), USUAL) == []


def test_a_time_without_a_zone_is_refused_by_name() -> None:
    naive = habit.Taken(datetime(2026, 1, 5, 7, 30), "weigh_tape")  # noqa: DTZ001
    with pytest.raises(habit.NoClock):
        habit.breaks(naive, USUAL, LONDON)


READINGS = st.builds(
    taken,
    st.integers(0, 30),
    st.floats(0, 23.9),
    instrument=st.sampled_from(["blue", "red", None]),
    fed=st.sampled_from(["", "before_feed", "after_feed"]),
    side=st.sampled_from(["", *tape.sides()]),
    position=st.sampled_from(["", *tape.positions()]),
)


@given(READINGS, st.lists(READINGS, max_size=12), st.randoms())
def test_the_order_that_they_are_given_in_changes_nothing(
    new: habit.Taken, earlier: list[habit.Taken], chance: object
) -> None:
    distinct = list({each.at: each for each in earlier}.values())
    mixed = list(distinct)
    chance.shuffle(mixed)  # type: ignore[attr-defined]
    assert habit.breaks(new, mixed, LONDON) == habit.breaks(new, distinct, LONDON)


@given(st.lists(READINGS, min_size=1, max_size=1), st.integers(3, 12))
def test_the_same_again_and_again_breaks_nothing(one: list[habit.Taken], times: int) -> None:
    first = one[0]
    series = [
        habit.Taken(
            first.at + WEEK * n,
            first.method,
            first.instrument,
            first.formula,
            first.side,
            first.position,
            first.fed,
        )
        for n in range(times + 1)
    ]
    assert habit.breaks(series[-1], series[:-1], UTC) == ()


def test_the_data_say_how_to_lay_a_tape_and_when() -> None:
    assert len(tape.placement()) >= 4
    assert len(tape.same_hour()) >= 2
    assert set(tape.position_texts()) == set(tape.positions())
