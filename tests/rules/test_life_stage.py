"""Foal, weanling, yearling, youngster, adult, aged: by birth, weaning and species."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.oracles import pandas
from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules import fixture, identity, life_stage
from yards.rules.life_stage import Stage

BORN = date(2024, 5, 1)
DAY = timedelta(days=1)
SPECIES = ("horse", "donkey", "mule")


def stage(on: date, species: str = "horse", born: date | None = BORN, **told: date) -> Stage:
    found = life_stage.life_stage(species, born, on, **told)
    assert found.if_older is found.if_younger
    return found.if_older


@outside(
    "a foal is under one year, a yearling between one and two, a filly or colt until four",
    source="terms of the trade",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize("species", SPECIES)
@pytest.mark.parametrize(
    ("first", "name"),
    [
        (date(2024, 5, 1), "foal"),
        (date(2025, 5, 1), "yearling"),
        (date(2026, 5, 1), "youngster"),
        (date(2028, 5, 1), "adult"),
    ],
)
def test_a_stage_begins_on_the_birthday(species: str, first: date, name: str) -> None:
    assert stage(first, species) == name
    if first > BORN:
        assert stage(first - DAY, species) != name


@outside(
    "most foals are weaned at four to six months; counted as weaned from six without an event",
    source="F. Harper, University of Tennessee extension, The broodmare in fall",
    status=WITHIN_TOLERANCE,
)
def test_a_foal_is_a_weanling_from_its_weaning_or_from_six_months() -> None:
    assert stage(date(2024, 8, 31)) == "foal"
    assert stage(date(2024, 10, 31)) == "foal"
    assert stage(date(2024, 11, 1)) == "weanling"
    weaned = date(2024, 9, 3)
    assert stage(weaned - DAY, weaned_on=weaned) == "foal"
    assert stage(weaned, weaned_on=weaned) == "weanling"
    assert stage(date(2025, 5, 1), weaned_on=weaned) == "yearling"


@outside(
    "a donkey foal is weaned gradually from six months",
    source="A. K. Thiemann, Care of the juvenile donkey",
    status=EXACT,
)
def test_a_donkey_foal_is_a_weanling_from_six_months() -> None:
    assert stage(date(2024, 10, 31), "donkey") == "foal"
    assert stage(date(2024, 11, 1), "donkey") == "weanling"


@outside(
    "a geriatric donkey is one over 20 years old",
    source="The Clinical Companion of the Donkey, 2nd edition, The geriatric donkey",
    status=EXACT,
)
def test_a_donkey_is_aged_from_20_years() -> None:
    assert stage(date(2044, 4, 30), "donkey") == "adult"
    assert stage(date(2044, 5, 1), "donkey") == "aged"


@outside("a geriatric horse is over 20 years", source="practice habit", status=FROM_MEMORY)
@pytest.mark.parametrize("species", ["horse", "mule"])
def test_a_horse_and_a_mule_are_aged_from_20_years(species: str) -> None:
    assert stage(date(2044, 4, 30), species) == "adult"
    assert stage(date(2044, 5, 1), species) == "aged"


def test_a_birth_by_its_year_is_a_range_of_ages() -> None:
    first, last = date(2022, 1, 1), date(2022, 12, 31)
    found = life_stage.life_stage("horse", first, date(2026, 4, 12), latest=last)
    assert (found.if_older, found.if_younger) == (Stage.ADULT, Stage.YOUNGSTER)
    assert (found.months_most, found.months_least) == (51, 39)
    assert not found.is_sure
    later = life_stage.life_stage("horse", first, date(2027, 1, 1), latest=last)
    assert later.is_sure


def test_an_unknown_birth_is_said_to_be_unknown() -> None:
    found = life_stage.life_stage("horse", None, date(2026, 4, 12))
    assert found.if_older is found.if_younger is Stage.UNKNOWN
    assert found.months_most is found.months_least is None
    assert not found.is_sure


def test_the_day_before_a_birth_is_the_birth_and_another_species_is_refused() -> None:
    assert stage(BORN - DAY) == "foal"
    with pytest.raises(life_stage.UnknownSpecies, match="zebra is none of donkey, horse, mule"):
        life_stage.life_stage("zebra", BORN, BORN)


def test_every_stage_says_where_it_comes_from() -> None:
    rows = fixture.load("life_stages")["rows"]
    assert all(row["source"] and row["confidence"] for row in rows)
    for species in SPECIES:
        of = {row["stage"]: row["from_months"] for row in rows if species in row["species"]}
        assert list(of) == [each for each in Stage if each is not Stage.UNKNOWN]
        assert sorted(of.values()) == list(of.values())
    found = life_stage.life_stage("donkey", BORN, date(2046, 1, 1))
    assert found.source.startswith("The Clinical Companion")
    assert found.confidence == "read"


ORDER = list(Stage)


@given(
    st.dates(date(1990, 1, 1), date(2020, 1, 1)),
    st.integers(0, 14000),
    st.integers(0, 1000),
    st.sampled_from(SPECIES),
)
def test_nobody_grows_younger(born: date, days: int, more: int, species: str) -> None:
    on = born + timedelta(days=days)
    one, two = (stage(day, species, born) for day in (on, on + timedelta(days=more)))
    assert ORDER.index(one) <= ORDER.index(two)


@outside(
    "completed calendar months, for days that every month has",
    source="pandas.DateOffset",
    status=EXACT,
)
@given(
    st.dates(date(1990, 1, 1), date(2030, 12, 31)).filter(lambda day: day.day <= 28),
    st.integers(1, 500),
)
def test_months_are_those_of_the_calendar(first: date, months: int) -> None:
    ends = (pandas.Timestamp(first) + pandas.DateOffset(months=months)).date()
    assert identity.months_between(first, ends) == months
    assert identity.months_between(first, ends - DAY) == months - 1


@pytest.mark.parametrize(
    ("first", "on", "months"),
    [
        (date(2026, 1, 31), date(2026, 2, 28), 0),
        (date(2026, 1, 31), date(2026, 3, 1), 1),
        (date(2024, 2, 29), date(2025, 2, 28), 11),
        (date(2024, 2, 29), date(2025, 3, 1), 12),
        (date(2026, 4, 12), date(2026, 4, 11), -1),
    ],
)
def test_a_month_without_the_day_is_completed_on_the_first_of_the_next(
    first: date, on: date, months: int
) -> None:
    assert identity.months_between(first, on) == months
