"""Roughly across from 0-5 to 1-9 and back: a match of descriptions, never a conversion."""

import itertools
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import approximate, checked, scale
from tests.outside import FROM_MEMORY, outside

FIVES, NINES = list(scale.every_half(scale.FIVE)), list(scale.every_half(scale.NINE))


def across(key: str, points: str) -> tuple[str, str]:
    found = approximate.across(key, scale.halves(points))
    assert found is not None
    return scale.shown(found.low), scale.shown(found.high)


@pytest.mark.parametrize(
    ("five", "nine"),
    [
        ("0", ("1.0", "1.0")),
        ("1", ("2.0", "3.0")),
        ("2", ("4.0", "4.0")),
        ("3", ("5.0", "6.0")),
        ("4", ("7.0", "7.0")),
        ("5", ("8.0", "9.0")),
        ("2.5", ("4.0", "5.0")),
        ("3.5", ("6.0", "7.0")),
    ],
)
def test_five_lies_where_its_descriptions_do(five: str, nine: tuple[str, str]) -> None:
    """Matched here, level by level; a half lies between its neighbours."""
    assert across(scale.FIVE, five) == nine


@outside(
    "obese is 4 and over on 0-5 and 7 and over on 1-9, so 4 lies at 7",
    source="Giles et al. 2014, PeerJ 2:e299, for 1-9; practice use of 0-5",
    status=FROM_MEMORY,
)
def test_obese_is_obese_on_both() -> None:
    assert across(scale.FIVE, "4")[0] == "7.0"
    assert all(scale.halves(across(scale.FIVE, each)[1]) < 14 for each in ("0", "1", "2", "3"))


def test_it_is_no_stretching_by_a_line() -> None:
    """A line from 0-5 to 1-9 puts a 2 at 4.2 and a 4 at 7.4; the descriptions put them below."""
    for five in ("2", "4"):
        stretched = 1 + Decimal("1.6") * Decimal(five)
        assert Decimal(across(scale.FIVE, five)[1]) < stretched


@given(st.sampled_from(FIVES), st.sampled_from(NINES))
def test_there_and_back_are_the_same_match(five: int, nine: int) -> None:
    there, back = approximate.across(scale.FIVE, five), approximate.across(scale.NINE, nine)
    assert there is not None
    assert back is not None
    assert (there.low <= nine <= there.high) == (back.low <= five <= back.high)


@pytest.mark.parametrize(("key", "other"), [("five", "nine"), ("nine", "five")])
def test_it_stays_on_the_other_scale_and_rises_with_this_one(key: str, other: str) -> None:
    found = [approximate.across(key, each) for each in scale.every_half(key)]
    whole = scale.of(other)
    for before, after in itertools.pairwise(found):
        assert before is not None
        assert after is not None
        assert before.scale == after.scale == other
        assert whole.low <= before.low <= before.high <= whole.high
        assert before.low <= after.low
        assert before.high <= after.high
    assert found[0] is not None
    assert found[-1] is not None
    assert (found[0].low, found[-1].high) == (whole.low, whole.high)


def test_donkeys_crests_and_no_score_have_none() -> None:
    assert approximate.across(scale.DONKEY, 6) is None
    assert approximate.across(scale.CREST, 6) is None
    assert approximate.across(scale.FIVE, None) is None


@pytest.mark.parametrize(("key", "halves"), [("five", 11), ("nine", 1), ("nine", 19), ("five", -1)])
def test_off_the_scale_is_refused(key: str, halves: int) -> None:
    with pytest.raises(checked.OutOfRange) as caught:
        approximate.across(key, halves)
    assert caught.value.field == "halves"
