"""A yard's own spring: how it is labelled, and what no season can be told of."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from yards.rules import allowed, seasons


def test_a_spring_as_long_as_the_year_is_labelled_from_its_own_first_day() -> None:
    spring = seasons.Spring("03-01", "02-28")
    for on in (date(2026, 3, 1), date(2026, 11, 30), date(2027, 2, 28)):
        assert str(seasons.named(on, "north", spring)) == "spring 2026/27"
    assert str(seasons.named(date(2027, 3, 1), "north", spring)) == "spring 2027/28"


def test_a_spring_of_29_february_alone_is_one_day_in_every_year() -> None:
    spring = seasons.Spring("02-29", "02-29")
    for on in (date(2026, 3, 1), date(2028, 2, 29)):
        assert seasons.is_first_day_of_spring(on, "north", spring)
        assert seasons.in_spring(on, "north", spring)
    for on in (date(2026, 2, 28), date(2026, 3, 2), date(2028, 3, 1)):
        assert not seasons.in_spring(on, "north", spring)


MONTH_DAYS = st.dates(date(2000, 1, 1), date(2000, 12, 31)).map(lambda day: f"{day:%m-%d}")


@given(
    st.dates(date(1996, 1, 1), date(2110, 1, 1)),
    st.sampled_from(seasons.HEMISPHERES),
    st.builds(seasons.Spring, MONTH_DAYS, MONTH_DAYS),
)
def test_a_spring_begins_on_its_first_day_and_is_labelled_by_the_years_it_spans(
    on: date, hemisphere: str, spring: seasons.Spring
) -> None:
    began = seasons.spring_began(on, hemisphere, spring)
    assert began is not None
    assert seasons.is_first_day_of_spring(began, hemisphere, spring)
    assert seasons.in_spring(began, hemisphere, spring)
    named = seasons.named(on, hemisphere, spring)
    assert (named is not None) or hemisphere == "none"
    if seasons.in_spring(on, hemisphere, spring):
        assert named is not None
        assert named.years.startswith(str(began.year))
        assert len(named.years) in (4, 7)


@pytest.mark.parametrize(
    ("first", "last", "field"),
    [
        ("13-45", "05-31", "spring.first"),
        ("03-01", "02-30", "spring.last"),
        ("3-1", "05-31", "spring.first"),
        ("03-01", "", "spring.last"),
        ("٠٣-٠١", "05-31", "spring.first"),
    ],
)
def test_what_is_no_day_of_a_year_is_no_end_of_a_spring(first: str, last: str, field: str) -> None:
    with pytest.raises(allowed.OutOfRange) as caught:
        seasons.Spring(first, last)
    assert (caught.value.field, caught.value.allowed) == (field, "01-01 to 12-31, month-day")


ASKED = [
    seasons.in_spring,
    seasons.is_first_day_of_spring,
    seasons.spring_began,
    seasons.next_spring,
    seasons.season,
    seasons.named,
]


@pytest.mark.parametrize("ask", ASKED)
@pytest.mark.parametrize("spring", [None, seasons.Spring("11-01", "01-31")])
@pytest.mark.parametrize("hemisphere", ["mars", "North", ""])
def test_a_hemisphere_is_one_of_the_list(
    ask: Any, spring: seasons.Spring | None, hemisphere: str
) -> None:
    with pytest.raises(allowed.OutOfRange, match="hemisphere: one of north, south, none"):
        ask(date(2026, 4, 12), hemisphere, spring)


@pytest.mark.parametrize("ask", ASKED)
@pytest.mark.parametrize("on", [date.min, date(1, 12, 31), date(9999, 1, 1), date.max])
def test_a_day_at_the_end_of_the_calendar_has_no_season(ask: Any, on: date) -> None:
    with pytest.raises(allowed.OutOfRange, match="on: a day of the years 2 to 9998"):
        ask(on, "north")


@pytest.mark.parametrize("hemisphere", ["north", "south"])
@pytest.mark.parametrize("on", [date(2, 1, 1), date(9998, 12, 31)])
def test_the_first_and_the_last_day_have_one(hemisphere: str, on: date) -> None:
    assert seasons.named(on, hemisphere) is not None
    assert seasons.spring_began(on, hemisphere) is not None
    assert seasons.next_spring(on, hemisphere) is not None
