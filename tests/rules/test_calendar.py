"""Seasons, mornings, quiet hours and due days, by the calendar of the yard."""

from datetime import UTC, date, datetime, time, timedelta

import pytest

from scoring.rules import due, seen
from yards.rules import daytime, seasons


@pytest.mark.parametrize(
    ("month", "north"),
    # Met Office: meteorological spring is March to May, summer June to August, and so on.
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


@pytest.mark.parametrize(
    ("after", "zone", "six"),
    [
        # Summer time began in London at 01:00 UTC on 29 March 2026 and ends on 25 October 2026
        # (tz database).
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


def score(halves: int, scale: str = "five") -> seen.Score:
    at = datetime(2026, 1, 1, tzinfo=UTC)
    if scale == "five":
        return seen.Score(at, at, scale, "palpated", halves, halves, halves)
    return seen.Score(at, at, scale, "palpated", whole=halves)


@pytest.mark.parametrize(
    ("facts", "days"),
    # Defaults to ship, days score/weight (mostly from memory in the sources' notes): ordinary
    # 28/28; five >= 3.5, crest >= 3, past laminitis, donkey 14/14; thin 14/7; emaciated 7, daily.
    [
        (due.Facts("horse", "never", score(6)), (28, 28, None)),
        (due.Facts("horse", "never", score(7)), (14, 14, None)),
        (due.Facts("horse", "never", score(6), crest=6), (14, 14, None)),
        (due.Facts("horse", "past", score(6)), (14, 14, None)),
        (due.Facts("donkey", "never", score(6, "donkey")), (14, 14, None)),
        (due.Facts("horse", "never", score(3)), (14, 7, None)),
        (due.Facts("horse", "never", score(2)), (7, 7, 1)),
        (due.Facts("horse", "past", score(7), vet_score_days=3, vet_weight_days=5), (3, 5, None)),
    ],
)
def test_how_often_to_look(facts: due.Facts, days: tuple[int, int, int | None]) -> None:
    found = due.intervals(facts)
    assert (found.score_days, found.weight_days, found.check_days) == days


def test_due_on_its_local_day_and_overdue_from_the_next() -> None:
    # 23:30 in London on 1 July is 22:30 UTC.
    at = datetime(2026, 7, 1, 8, tzinfo=UTC)
    late = datetime(2026, 7, 1, 22, 30, tzinfo=UTC)
    assert due.state(at, at - timedelta(days=1), "Europe/London") == due.NOT_DUE
    assert due.state(at, late, "Europe/London") == due.DUE
    assert due.state(at, late + timedelta(hours=1), "Europe/London") == due.OVERDUE
