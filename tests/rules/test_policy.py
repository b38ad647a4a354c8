"""When a ladder's rungs fall due, by the yard's clock: over clock changes, nights and outages."""

import itertools
from datetime import UTC, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scoring.rules import ladder, policy
from scoring.rules.policy import Hearer, Hours, Policy, Rung
from yards.rules import daytime
from yards.rules.roles import Role

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
# Half an hour of summer time; no summer time; summer time that is the law of winter; a month of
# Ramadan without; the southern half of the earth; and the usual.
ZONES = (
    "Australia/Lord_Howe",
    "Asia/Kathmandu",
    "Europe/Dublin",
    "Africa/Casablanca",
    "Pacific/Auckland",
    "Europe/London",
)
YEAR = datetime(2026, 1, 1, tzinfo=UTC)
DAYS = 400
ANN, BEN, VET = UUID(int=1), UUID(int=2), UUID(int=3)
COORDINATORS = frozenset({Role.COORDINATOR})

instants = st.integers(0, DAYS * 24 * 60).map(lambda n: YEAR + n * MINUTE)
clocks = st.one_of(st.none(), st.integers(0, 24 * 4 - 1).map(lambda n: time(n // 4, n % 4 * 15)))
hours = st.builds(Hours, st.sampled_from(ZONES), clocks, clocks)


@st.composite
def policies(draw: st.DrawFn, severity: str | None = None) -> Policy:
    graded = severity or draw(st.sampled_from(ladder.SEVERITIES))
    afters = sorted(draw(st.sets(st.integers(0, 600), min_size=1, max_size=5)))
    if graded == ladder.URGENT:
        afters[0] = 0
    rungs = tuple(Rung(after * MINUTE, COORDINATORS) for after in afters)
    return Policy(graded, rungs, draw(st.integers(10, 1440)) * MINUTE)


@settings(max_examples=150, deadline=None)
@given(policies(), instants, hours)
def test_every_rung_comes_once_in_order_and_in_waking_hours(
    wanted: Policy, began: datetime, at: Hours
) -> None:
    found = policy.timetable(wanted, began, at, repeats=3)
    assert [each.rung for each in found[: len(wanted.rungs)]] == list(range(len(wanted.rungs)))
    assert [each.is_repeat for each in found[len(wanted.rungs) :]] == [True] * 3
    times = [each.at for each in found]
    assert times == sorted(times)
    assert all(each >= began for each in times)
    repeats = times[len(wanted.rungs) - 1 :]
    assert all(late > early for early, late in itertools.pairwise(repeats))
    if wanted.severity != ladder.URGENT:
        for each in times:
            assert not daytime.is_quiet(each, at.zone, at.quiet_from, at.quiet_to)


@settings(max_examples=100, deadline=None)
@given(policies(ladder.URGENT), instants, hours)
def test_urgent_counts_every_minute_whatever_clocks_and_nights_do(
    wanted: Policy, began: datetime, at: Hours
) -> None:
    found = policy.timetable(wanted, began, at, repeats=1)
    assert [each.at - began for each in found[:-1]] == [each.after for each in wanted.rungs]
    assert found[-1].at - found[-2].at == wanted.every
    assert found[0].at == began


@settings(max_examples=100, deadline=None)
@given(policies(), instants, st.integers(0, 48 * 60), hours)
def test_after_an_outage_nothing_is_left_out_and_no_burst_of_repeats_comes(
    wanted: Policy, began: datetime, away: int, at: Hours
) -> None:
    back = began + away * MINUTE
    told = 0
    while told < len(wanted.rungs):
        due = policy.next_at(wanted, began, told, back, at)
        assert due is not None
        assert due >= policy.awake(wanted.severity, back, at)
        told += 1
    again = policy.next_at(wanted, began, told, back, at)
    assert again is not None
    assert again - back >= wanted.every


@settings(max_examples=60, deadline=None)
@given(st.integers(0, DAYS * 96), hours, st.integers(0, 32))
def test_waking_time_is_the_sum_of_the_quarters_that_are_not_quiet(
    start: int, at: Hours, length: int
) -> None:
    quarter = 15 * MINUTE
    step, counted = YEAR + start * quarter, 0
    end = daytime.after_waking(step, length * quarter, at.zone, at.quiet_from, at.quiet_to)
    # Every clock here is put on and back by whole quarters, and quiet hours begin and end with one.
    while step < end:
        counted += not daytime.is_quiet(step, at.zone, at.quiet_from, at.quiet_to)
        step += quarter
    assert (step, counted) == (end, length)


# By the tz database: London goes on at 01:00 UTC on 29 March 2026 and back at 01:00 UTC on 25
# October 2026, when the hour from 01:00 to 02:00 comes twice.
AUTUMN = datetime(2026, 10, 25, 0, 0, tzinfo=UTC)


def test_in_the_repeated_autumn_hour_an_urgent_ladder_tells_each_rung_once() -> None:
    began = AUTUMN + 15 * MINUTE  # 01:15, for the first time
    found = policy.timetable(policy.DEFAULT[ladder.URGENT], began, Hours("Europe/London"))
    london = ZoneInfo("Europe/London")
    assert [each.at for each in found] == [began, began + 30 * MINUTE, began + 60 * MINUTE]
    assert [f"{each.at.astimezone(london):%H:%M %Z}" for each in found] == [
        "01:15 BST",
        "01:45 BST",
        "01:15 GMT",
    ]


def test_a_night_that_ends_in_the_repeated_hour_ends_once() -> None:
    night = Hours("Europe/London", time(22), time(1, 30))
    end = AUTUMN + 30 * MINUTE  # 01:30, for the first time
    assert policy.awake(ladder.ACT, AUTUMN + 29 * MINUTE, night) == end
    for late in (end, AUTUMN + 70 * MINUTE):  # 01:10, for the second time
        assert policy.awake(ladder.ACT, late, night) == late
    begins = Hours("Europe/London", time(1, 30), time(7))
    morning = AUTUMN + 7 * HOUR
    assert policy.awake(ladder.ACT, AUTUMN + 70 * MINUTE, begins) == morning


@pytest.mark.parametrize(
    ("evening", "waking"),
    [
        # From 21:00 to 07:00, nine hours in spring's night and eleven in autumn's.
        (datetime(2026, 3, 28, 20, 0, tzinfo=UTC), 9 * HOUR),
        (datetime(2026, 10, 24, 19, 0, tzinfo=UTC), 11 * HOUR),
    ],
    ids=["spring", "autumn"],
)
def test_on_both_days_of_a_clock_change_the_second_rung_is_four_waking_hours_on(
    evening: datetime, waking: timedelta
) -> None:
    night = Hours("Europe/London", time(21), time(7))
    found = policy.timetable(policy.DEFAULT[ladder.ACT], evening, night)
    # 20:00 by the clock: an hour is left of the day, and three more follow the night.
    assert [each.at for each in found[:2]] == [evening, evening + HOUR + waking + 3 * HOUR]


def test_whoever_is_away_is_left_out_while_anybody_is_there() -> None:
    rung = Rung(timedelta(0), frozenset({Role.VET}), frozenset({BEN}))
    ann, ben = Hearer(ANN, Role.COORDINATOR), Hearer(BEN, Role.ASSESSOR)
    vet = Hearer(VET, Role.VET, is_away=True)
    assert policy.audience(rung, [ann, ben, vet]) == {BEN}
    assert policy.audience(rung, [ann, vet]) == {ANN}
    away = Hearer(ANN, Role.COORDINATOR, is_away=True)
    assert policy.audience(rung, [away, vet]) == {ANN, VET}
    assert policy.audience(rung, [ben], owner=BEN) == {BEN}
    assert policy.audience(rung, [Hearer(BEN, Role.AUDITOR)]) == frozenset()
    assert policy.audience(rung, []) == frozenset()
    assert policy.reaches_somebody(rung, [ben])
    assert not policy.reaches_somebody(rung, [ann, vet])


def test_the_defaults_are_within_their_own_limits() -> None:
    from scoring.rules import policy_input

    for severity, wanted in policy.DEFAULT.items():
        raw = {**policy_input.said(wanted), "version": 1, "reason": "As it was"}
        assert policy_input.change(raw, severity).policy == wanted
