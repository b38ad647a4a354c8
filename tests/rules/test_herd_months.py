"""Months of a herd by each zone's calendar, and what an address may ask for."""

import itertools
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import herd_months, herd_wanted
from scoring.rules.herd_months import Month
from yards.rules import errors

ZONES = ("Europe/London", "Pacific/Auckland", "America/Sao_Paulo", "Pacific/Apia", "UTC")


def test_twelve_months_end_with_the_running_one() -> None:
    months = herd_months.until(date(2026, 2, 28), 12)
    assert [str(each) for each in months[:2]] == ["2025-03", "2025-04"]
    assert str(months[-1]) == "2026-02"
    assert len(months) == 12


@given(st.dates(date(1990, 1, 1), date(2090, 1, 1)), st.sampled_from((12, 24)))
def test_months_follow_one_another_and_hold_the_day(today: date, many: int) -> None:
    months = herd_months.until(today, many)
    assert len(set(months)) == many
    assert all(later == each.after(1) for each, later in itertools.pairwise(months))
    assert months[-1].first <= today < months[-1].after(1).first
    assert months[0].after(many - 1) == months[-1]


@given(st.integers(0, 40 * 365 * 1440), st.sampled_from(ZONES))
def test_an_instant_lies_in_the_month_that_its_clock_says(minutes: int, zone: str) -> None:
    moment = datetime(2000, 1, 1, tzinfo=UTC) + timedelta(minutes=minutes)
    local = moment.astimezone(ZoneInfo(zone)).date()
    months = herd_months.until(local + timedelta(days=100), 24)
    bounds = herd_months.bounds(months, zone)
    place = sum(each <= moment for each in bounds) - 1
    assert months[place] == Month(local.year, local.month)


def test_years_stand_at_january_and_do_not_crowd() -> None:
    shown = [
        [str(each) for place, each in enumerate(months) if herd_months.shows_year(months, place)]
        for months in (herd_months.until(date(2026, month, 1), 12) for month in (1, 6, 9, 12))
    ]
    assert shown == [["2025-02", "2026-01"], ["2025-07", "2026-01"], ["2026-01"], ["2026-01"]]


def test_an_address_says_what_is_wanted_and_nothing_that_is_usual() -> None:
    wanted = herd_wanted.read({"use": "leisure", "months": "24", "sort": "worry", "other": "x"})
    assert wanted.pairs() == (("use", "leisure"), ("months", "24"))
    assert herd_wanted.read(dict(wanted.pairs())) == wanted
    assert wanted.pairs(use="", months="") == ()


@pytest.mark.parametrize("name", ["yard", "use", "months", "sort", "after"])
def test_what_is_none_of_ours_is_not_found(name: str) -> None:
    for value in ("13", "\x00", "1 or 1=1"):
        with pytest.raises(errors.NotFound):
            herd_wanted.read({name: value})
