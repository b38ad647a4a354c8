"""Seasons, mornings, quiet hours and due days, by the calendar of the yard."""

import itertools
from datetime import UTC, date, datetime, time, timedelta

import pytest

from scoring.rules import due, seen
from tests.outside import EXACT, FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules import daytime, seasons

DAY = timedelta(days=1)
PRACTICE = "habits of charities and veterinary practices"


@outside(
    "meteorological spring is March to May, summer June to August, autumn September to November, "
    "winter December to February; the south half a year on",
    source="Met Office, meteorological seasons",
    status=EXACT,
)
@pytest.mark.parametrize(
    ("month", "north"),
    [
        (m, name)
        for months, name in (
            ((3, 4, 5), "spring"),
            ((6, 7, 8), "summer"),
            ((9, 10, 11), "autumn"),
            ((12, 1, 2), "winter"),
        )
        for m in months
    ],
)
def test_meteorological_seasons_and_half_a_year_on_in_the_south(month: int, north: str) -> None:
    day = date(2026, month, 15)
    assert seasons.season(day, "north") == north
    half_a_year_on = date(2026, (month + 5) % 12 + 1, 15)
    assert seasons.season(half_a_year_on, "south") == north
    assert seasons.season(day, "none") is None


def test_a_yards_own_spring_may_wrap_the_year() -> None:
    spring = seasons.Spring("12-15", "02-10")
    inside = [date(2026, 12, 15), date(2026, 12, 31), date(2027, 1, 1), date(2027, 2, 10)]
    assert all(seasons.in_spring(day, "north", spring) for day in inside)
    assert not seasons.in_spring(date(2027, 2, 11), "north", spring)
    assert not seasons.in_spring(date(2026, 12, 14), "north", spring)


@pytest.mark.parametrize("hemisphere", ["north", "south"])
def test_every_day_of_a_year_has_one_season_and_they_follow_each_other(hemisphere: str) -> None:
    days = [date(2027, 3, 1) + n * DAY for n in range(366)]
    found = [seasons.season(day, hemisphere) for day in days]
    changes = [after for before, after in itertools.pairwise(found) if before is not after]
    order = [*seasons.Season, *seasons.Season]
    first = order.index(seasons.Season.SPRING if hemisphere == "north" else seasons.Season.AUTUMN)
    assert changes == order[first + 1 : first + 4]
    assert {found.count(each) for each in seasons.Season} == {91, 92}


@pytest.mark.parametrize(
    ("on", "hemisphere", "name"),
    [
        (date(2026, 12, 1), "north", "winter 2026/27"),
        (date(2027, 2, 28), "north", "winter 2026/27"),
        (date(2028, 2, 29), "north", "winter 2027/28"),
        (date(1999, 12, 31), "north", "winter 1999/00"),
        (date(2027, 3, 1), "north", "spring 2027"),
        (date(2027, 6, 1), "south", "winter 2027"),
        (date(2027, 1, 10), "south", "summer 2026/27"),
        (date(2027, 9, 1), "south", "spring 2027"),
    ],
)
def test_a_season_is_named_by_its_year_or_years(on: date, hemisphere: str, name: str) -> None:
    assert str(seasons.named(on, hemisphere)) == name


def test_a_spring_that_wraps_is_named_by_both_years_and_the_tropics_have_none() -> None:
    spring = seasons.Spring("12-15", "02-10")
    for on in (date(2026, 12, 15), date(2027, 1, 1), date(2027, 2, 10)):
        assert str(seasons.named(on, "north", spring)) == "spring 2026/27"
    assert seasons.named(date(2027, 1, 1), "none") is None
    assert seasons.next_spring(date(2027, 1, 1), "none") is None
    assert seasons.spring_began(date(2027, 1, 1), "none") is None


def test_a_yard_in_the_tropics_may_have_a_spring_of_its_own() -> None:
    spring = seasons.Spring("11-01", "01-31")
    assert seasons.season(date(2027, 1, 31), "none", spring) is seasons.Season.SPRING
    assert seasons.season(date(2027, 2, 1), "none", spring) is None


def test_a_29_february_stands_for_its_neighbours_in_other_years() -> None:
    spring = seasons.Spring("02-29", "05-31")
    assert seasons.is_first_day_of_spring(date(2028, 2, 29), "north", spring)
    assert seasons.is_first_day_of_spring(date(2027, 3, 1), "north", spring)
    ending = seasons.Spring("01-10", "02-29")
    assert seasons.in_spring(date(2027, 2, 28), "north", ending)
    assert not seasons.in_spring(date(2027, 3, 1), "north", ending)
    assert seasons.in_spring(date(2028, 2, 29), "north", ending)


@outside(
    "summer time in London began at 01:00 UTC on 29 March 2026 and ends on 25 October 2026",
    source="tz database, Europe/London",
    status=EXACT,
)
@pytest.mark.parametrize(
    ("after", "zone", "six"),
    [
        (
            datetime(2026, 3, 28, 7, tzinfo=UTC),
            "Europe/London",
            datetime(2026, 3, 29, 5, tzinfo=UTC),
        ),
        (
            datetime(2026, 10, 24, 6, tzinfo=UTC),
            "Europe/London",
            datetime(2026, 10, 25, 6, tzinfo=UTC),
        ),
    ],
)
def test_six_in_the_morning_stays_six_in_the_morning(
    after: datetime, zone: str, six: datetime
) -> None:
    assert daytime.next_six(after, zone) == six


def test_quiet_hours_run_over_midnight() -> None:
    night = time(22), time(6)
    late = datetime(2026, 1, 10, 23, tzinfo=UTC)
    assert daytime.is_quiet(late, "Europe/London", *night)
    assert daytime.next_waking(late, "Europe/London", *night) == datetime(
        2026, 1, 11, 6, tzinfo=UTC
    )
    noon = datetime(2026, 1, 10, 12, tzinfo=UTC)
    assert daytime.next_waking(noon, "Europe/London", *night) == noon


@outside(
    "London's clocks go back at 01:00 UTC on 25 October 2026: 01:00 to 02:00 comes twice",
    source="tz database, Europe/London",
    status=EXACT,
)
def test_a_night_that_ends_in_an_hour_that_comes_twice_ends_once() -> None:
    night = time(22), time(1, 30)
    ends = datetime(2026, 10, 25, 0, 30, tzinfo=UTC)  # 01:30, for the first time
    assert daytime.next_waking(ends - timedelta(minutes=1), "Europe/London", *night) == ends
    again = ends + timedelta(minutes=40)  # 01:10, for the second time
    assert not daytime.is_quiet(again, "Europe/London", *night)
    assert daytime.next_waking(again, "Europe/London", *night) == again


def score(halves: int, scale: str = "five") -> seen.Score:
    at = datetime(2026, 1, 1, tzinfo=UTC)
    if scale == "five":
        return seen.Score(at, at, scale, "palpated", halves, halves, halves)
    return seen.Score(at, at, scale, "palpated", whole=halves)


def days_of(facts: due.Facts) -> tuple[int, int, int | None]:
    found = due.intervals(facts)
    return found.score_days, found.weight_days, found.check_days


@outside(
    "an ordinary adult is looked at every two weeks to monthly",
    source="Horse-Canada: every two weeks to monthly; University of Guelph teaching: monthly",
    status=WITHIN_TOLERANCE,
)
def test_an_ordinary_adult_is_looked_at_every_four_weeks() -> None:
    score_days, weight_days, check_days = days_of(due.Facts("horse", "never", score(6)))
    assert score_days == weight_days == 28
    assert 14 <= score_days <= 31
    assert check_days is None


@outside(
    "fat, crested, once laminitic or a donkey: 14 days; thin 14 and weight 7; emaciated 7, daily",
    source=PRACTICE,
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(
    ("facts", "days"),
    [
        (due.Facts("horse", "never", score(7)), (14, 14, None)),
        (due.Facts("horse", "never", score(6), crest=6), (14, 14, None)),
        (due.Facts("horse", "past", score(6)), (14, 14, None)),
        (due.Facts("donkey", "never", score(6, "donkey")), (14, 14, None)),
        (due.Facts("horse", "never", score(3)), (14, 7, None)),
        (due.Facts("horse", "never", score(2)), (7, 7, 1)),
    ],
)
def test_how_often_to_look(facts: due.Facts, days: tuple[int, int, int | None]) -> None:
    assert days_of(facts) == days


def test_a_vets_intervals_win() -> None:
    facts = due.Facts("horse", "past", score(7), vet_score_days=3, vet_weight_days=5)
    assert days_of(facts) == (3, 5, None)


def test_due_on_its_local_day_and_overdue_from_the_next() -> None:
    # 23:30 in London on 1 July is 22:30 UTC.
    at = datetime(2026, 7, 1, 8, tzinfo=UTC)
    late = datetime(2026, 7, 1, 22, 30, tzinfo=UTC)
    assert due.state(at, at - timedelta(days=1), "Europe/London") == due.NOT_DUE
    assert due.state(at, late, "Europe/London") == due.DUE
    assert due.state(at, late + timedelta(hours=1), "Europe/London") == due.OVERDUE
