"""In foal and in milk: which month, when the foal is expected, and what does not fit."""

import itertools
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules import breeding, event, fixture
from yards.rules import horse as rule
from yards.rules.breeding import Happened

COVERED = date(2025, 4, 10)
FOALED = date(2026, 3, 16)
DAY = timedelta(days=1)
CARLUCCIO = "Carluccio et al. 2021, Archives of Veterinary Science and Medicine 4:34-42, abstract"
GIGER = "Giger, Meier and Kuepfer 1997, University of Bern, abstract in AGRIS"


def stands(word: str, on: date, *happened: tuple[str, date], of: str = "horse") -> breeding.Bred:
    return breeding.stands(of, word, [Happened(*each) for each in happened], on)


@outside(
    "340 days: bred on 27 February, due about 2 February",
    source="Rural Heritage, Draft horse gestation: subtract 25 days",
    status=EXACT,
)
def test_a_foal_is_due_25_days_before_the_day_of_covering() -> None:
    found = breeding.expected_foaling(date(2025, 2, 27), "horse")
    assert found is not None
    assert found.on == date(2026, 2, 2)


@outside(
    "gestation of mares: 335 to 342 days, with a range of 300 to 400",
    source="Proceedings of the New Zealand Society of Animal Production 2010, 70:146-148, abstract",
    status=WITHIN_TOLERANCE,
)
def test_the_mean_and_the_longest_gestation_of_mares() -> None:
    found = breeding.gestation("horse")
    assert found is not None
    assert 335 <= found.days <= 342
    assert 300 <= found.earliest < found.latest <= found.longest == 400


@outside("a mare's usual span, 320 to 365 days", source="stud practice", status=FROM_MEMORY)
def test_the_usual_span_of_mares() -> None:
    found = breeding.expected_foaling(COVERED, "horse")
    assert found is not None
    assert (found.earliest, found.latest) == (date(2026, 2, 24), date(2026, 4, 10))


@outside(
    "gestation of jennies: 371.8 days (335 to 395), 96 animals", source=CARLUCCIO, status=EXACT
)
def test_a_jenny_carries_a_year_and_a_week() -> None:
    found = breeding.gestation("donkey")
    assert found is not None
    assert found.days == round(371.8)
    assert (found.earliest, found.latest) == (335, 395)


@outside(
    "gestation of jennies, mean 371 days",
    source="Carluccio et al. 2015, Theriogenology 84:650-655, abstract",
    status=WITHIN_TOLERANCE,
)
def test_an_earlier_study_of_jennies_is_within_a_day() -> None:
    found = breeding.gestation("donkey")
    assert found is not None
    assert abs(found.days - 371) <= 1


@outside("mares with mule foals: 343.1 days (315 to 369), 193 mares", source=GIGER, status=EXACT)
def test_a_mare_carries_a_mule_a_little_longer() -> None:
    mule, horse = breeding.gestation("horse", "donkey"), breeding.gestation("horse", "horse")
    assert mule is not None
    assert horse is not None
    assert mule.days == round(343.1)
    assert (mule.earliest, mule.latest) == (315, 369)
    assert mule.days > horse.days


def test_there_is_no_figure_for_mules_and_hinnies() -> None:
    assert breeding.gestation("mule") is None
    assert breeding.gestation("donkey", "horse") is None
    assert breeding.expected_foaling(COVERED, "mule") is None
    told = ("covered", COVERED)
    assert stands("covered", COVERED + DAY, told, of="mule") == breeding.Bred()
    assert stands("pregnant", COVERED + DAY, told, of="mule") == breeding.Bred(breeding.YES)


@outside(
    "milk is counted for the six months that have a row of requirements",
    source="National Research Council 2007, Nutrient requirements of horses, lactation rows",
    status=FROM_MEMORY,
)
def test_a_mare_counts_as_dry_after_six_months() -> None:
    assert breeding.months_of_milk() == 6
    last = date(2026, 9, 15)
    found = stands("lactating", last, ("foaled", FOALED))
    assert (found.in_milk, found.lactation_month, found.doubt) == (True, 6, "")
    after = stands("lactating", last + DAY, ("foaled", FOALED))
    assert (after.in_milk, after.lactation_month) == (False, None)
    assert after.doubt == breeding.MILK_OVER


@outside(
    "weaning ends the milk, usually at four to six months",
    source="F. Harper, University of Tennessee extension, The broodmare in fall",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize("months", [4, 5])
def test_weaning_ends_the_milk(months: int) -> None:
    weaned = date(2026, 3 + months, 16)
    told = ("foaled", FOALED), ("weaned", weaned)
    assert stands("lactating", weaned - DAY, *told).in_milk
    assert not stands("empty", weaned, *told).in_milk


@outside(
    "late in foal are months 9 to 11; the reserve of fat may fall in months 1 to 3 of milk",
    source="National Research Council 2007 rows by month; stud practice",
    status=FROM_MEMORY,
)
def test_late_in_foal_and_early_in_milk() -> None:
    late = date(2025, 12, 10)
    before, after = (stands("pregnant", day, ("covered", COVERED)) for day in (late - DAY, late))
    assert (before.pregnancy_month, before.is_late_in_foal) == (8, False)
    assert (after.pregnancy_month, after.is_late_in_foal) == (9, True)
    early = date(2026, 6, 15)
    milk = [stands("lactating", day, ("foaled", FOALED)) for day in (early, early + DAY)]
    assert [(each.lactation_month, each.is_early_in_milk) for each in milk] == [
        (3, True),
        (4, False),
    ]


@outside(
    "a mare's month counts from the last of several coverings",
    source="stud practice",
    status=COMMON_PRACTICE,
)
def test_the_last_covering_counts() -> None:
    again = COVERED + 21 * DAY
    found = stands("pregnant", date(2025, 9, 1), ("covered", COVERED), ("covered", again))
    assert found.pregnancy_month == 5
    assert found.expected is not None
    assert found.expected.on == again + 340 * DAY


def test_without_days_the_word_stands_alone() -> None:
    assert stands("pregnant", FOALED) == breeding.Bred(in_foal=breeding.YES)
    assert stands("lactating", FOALED) == breeding.Bred(in_milk=True)
    for word in ("", "not_bred", "covered", "empty"):
        assert stands(word, FOALED) == breeding.Bred()


def test_covered_with_a_day_is_perhaps_in_foal_until_found_empty() -> None:
    told = ("covered", COVERED)
    assert stands("covered", COVERED, told).in_foal == breeding.PERHAPS
    assert stands("covered", COVERED, told).pregnancy_month == 1
    empty = ("found_empty", COVERED + 28 * DAY)
    assert stands("empty", empty[1], told, empty) == breeding.Bred()


def test_a_covering_can_lie_too_far_back() -> None:
    told = ("covered", COVERED)
    assert stands("pregnant", COVERED + 400 * DAY, told).doubt == ""
    found = stands("pregnant", COVERED + 401 * DAY, told)
    assert (found.in_foal, found.pregnancy_month) == (breeding.YES, None)
    assert found.doubt == breeding.COVERED_TOO_LONG_AGO
    unsure = stands("covered", COVERED + 401 * DAY, told)
    assert (unsure.in_foal, unsure.doubt) == (breeding.NO, breeding.COVERED_TOO_LONG_AGO)
    # A jenny may carry longer.
    assert stands("pregnant", COVERED + 401 * DAY, told, of="donkey").doubt == ""


def test_foaling_ends_the_gestation_and_begins_the_milk() -> None:
    told = ("covered", COVERED), ("found_in_foal", COVERED + 28 * DAY), ("foaled", FOALED)
    found = stands("lactating", FOALED, *told)
    assert (found.in_foal, found.in_milk, found.lactation_month) == (breeding.NO, True, 1)
    assert found.is_early_in_milk


def test_a_foaling_ends_what_was_before_it() -> None:
    told = ("covered", COVERED), ("found_empty", COVERED + 20 * DAY)
    weaned_last_year = ("weaned", COVERED + 150 * DAY)
    on = FOALED + 90 * DAY
    # The covering that she foaled from does not count for the next foal.
    again = stands("pregnant", on, ("covered", COVERED), ("foaled", FOALED))
    assert (again.in_foal, again.pregnancy_month, again.doubt) == (breeding.YES, None, "")
    # Last year's weaning does not end this year's milk, nor does last year's scan speak for it.
    assert stands("lactating", on, weaned_last_year, ("foaled", FOALED)).in_milk
    assert not stands("empty", on, *told, ("foaled", FOALED)).in_milk


def test_a_mare_covered_again_is_in_milk_still() -> None:
    again = ("covered", FOALED + 30 * DAY)
    on = FOALED + 60 * DAY
    found = stands("covered", on, ("foaled", FOALED), again)
    assert (found.in_foal, found.in_milk) == (breeding.PERHAPS, True)
    # Scanned empty, she still has her foal; written empty by hand, she has neither.
    scanned = ("found_empty", FOALED + 50 * DAY)
    assert stands("empty", on, ("foaled", FOALED), again, scanned).in_milk
    assert not stands("empty", on, ("foaled", FOALED)).in_milk


def test_a_day_before_what_happened_since_is_read_from_the_events() -> None:
    told = ("covered", COVERED), ("foaled", FOALED), ("weaned", date(2026, 8, 1))
    before = stands("empty", FOALED - 10 * DAY, *told)
    assert (before.in_foal, before.in_milk) == (breeding.YES, False)
    assert before.pregnancy_month == 11
    assert stands("empty", FOALED + 10 * DAY, *told).in_milk
    # Long before a foaling nothing says how she stood.
    assert stands("empty", FOALED - 700 * DAY, *told) == breeding.Bred()
    # Foaled without a covering on record: she was in foal, the month is not known.
    alone = stands("lactating", FOALED - 10 * DAY, ("foaled", FOALED))
    assert (alone.in_foal, alone.pregnancy_month) == (breeding.YES, None)


def test_counting_backwards_is_refused_by_field() -> None:
    with pytest.raises(breeding.OutOfOrder, match="covered_on: 2025-04-10 lies after 2025-04-09"):
        breeding.pregnancy_month(COVERED, COVERED - DAY)
    with pytest.raises(breeding.OutOfOrder, match="foaled_on"):
        breeding.lactation_month(FOALED, FOALED - DAY)


def test_every_figure_says_where_it_comes_from() -> None:
    data = fixture.load("breeding")
    for row in (*data["gestation"], data["lactation"]):
        assert row["source"]
        assert row["confidence"] in ("read", "memory", "common practice")
    for row in data["gestation"]:
        assert row["earliest"] < row["days"] < row["latest"] < row["longest"]
    assert set(breeding.KINDS) <= set(event.KINDS)


EVENTS = st.lists(
    st.tuples(st.sampled_from(breeding.KINDS), st.dates(date(2024, 1, 1), date(2026, 12, 31))),
    max_size=8,
).map(lambda each: sorted(each, key=lambda told: told[1]))


@given(
    st.sampled_from(["", *rule.BREEDING]),
    EVENTS,
    st.dates(date(2024, 1, 1), date(2027, 12, 31)),
    st.sampled_from(rule.SPECIES),
)
def test_any_record_is_read_and_its_months_fit(
    word: str, told: list[tuple[str, date]], on: date, species: str
) -> None:
    found = stands(word, on, *told, of=species)
    assert found.in_foal in breeding.IN_FOAL
    assert found.pregnancy_month is None or found.in_foal != breeding.NO
    assert found.pregnancy_month is None or 1 <= found.pregnancy_month <= 15
    assert (found.lactation_month is None) or found.in_milk
    assert found.lactation_month is None or 1 <= found.lactation_month <= 6
    assert not found.is_early_in_milk or found.lactation_month in (1, 2, 3)


@given(st.dates(date(2020, 1, 1), date(2030, 1, 1)))
def test_months_go_up_by_one_at_most_a_day_and_never_back(first: date) -> None:
    months = [breeding.pregnancy_month(first, first + n * DAY) for n in range(400)]
    assert all(0 <= after - before <= 1 for before, after in itertools.pairwise(months))
