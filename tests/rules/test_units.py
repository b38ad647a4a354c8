"""Pounds, inches and hands against the standards that define them, and there and back again."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules import allowed, units

NIST = "NIST Special Publication 811 (2008), appendix B.8"


@outside("pound 0.45359237 kg, inch 2.54 cm, exactly", source=NIST, status=EXACT)
@pytest.mark.parametrize(
    ("typed", "unit", "kept"),
    [("1000", units.LB, "453.6"), ("2204.6", units.LB, "1000.0"), ("100", units.IN, "254.0")],
)
def test_what_is_typed_is_kept_as_the_standards_have_it(typed: str, unit: str, kept: str) -> None:
    assert Decimal("0.45359237") == units.KG_PER_LB
    assert Decimal("2.54") == units.CM_PER_IN
    assert units.stored(typed, unit) == kept


@outside(
    "a hand is 4 inches; 14.2 is 14 hands 2 inches",
    source="people who keep horses",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize(
    ("typed", "kept"),
    [("14.2", "147.3"), ("14.2½", "148.6"), ("10", "101.6"), ("10.0", "101.6")],
)
def test_hands_are_kept_as_the_trade_counts_them(typed: str, kept: str) -> None:
    assert units.stored(typed, units.HANDS) == kept


@outside(
    "1000 lb are 453.59 kg, 190 cm are 74.8 in: read to the whole pound and the half inch",
    source=NIST,
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(
    ("value", "unit", "read"), [("453.6", units.LB, "1000"), ("190", units.IN, "75")]
)
def test_what_is_kept_is_read_as_the_standards_have_it(value: str, unit: str, read: str) -> None:
    assert units.shown(Decimal(value), unit) == read


@outside(
    "a pony stands at most 148 cm without shoes, a little over 14.2 hands",
    source="rules of the international equestrian federation",
    status=FROM_MEMORY,
)
def test_the_tallest_pony_is_a_little_over_14_2() -> None:
    assert units.shown(Decimal(148), units.HANDS) == "14.2½"


@pytest.mark.parametrize(
    ("value", "unit", "read"),
    [
        ("285", units.KG, "285"),
        ("285.4", units.KG, "285.4"),
        ("101.6", units.HANDS, "10.0"),
        ("152.4", units.HANDS, "15.0"),
    ],
)
def test_what_is_kept_is_read_in_the_readers_unit(value: str, unit: str, read: str) -> None:
    assert units.shown(Decimal(value), unit) == read


@pytest.mark.parametrize("typed", ["14.4", "14.5", "14.22", "a", "", "-3", "1e3", "١٤", "150", "½"])
def test_what_is_no_height_in_hands_is_not_guessed_at(typed: str) -> None:
    with pytest.raises(units.Unreadable):
        units.stored(typed, units.HANDS)


@pytest.mark.parametrize(
    "typed", ["NaN", "Infinity", "1e400", "3_0", "٣٠", "-1", "1.2.3", "9" * 40]
)
def test_what_is_no_number_is_not_guessed_at(typed: str) -> None:
    with pytest.raises(units.Unreadable):
        units.stored(typed, units.LB)


@given(st.integers(400, 2300))
def test_a_height_comes_back_within_a_quarter_of_an_inch_and_stays(tenths: int) -> None:
    kept = Decimal(tenths) / 10
    once = units.stored(units.shown(kept, units.HANDS), units.HANDS)
    assert abs(Decimal(once) - kept) <= Decimal("0.635") + Decimal("0.05")
    assert units.shown(Decimal(once), units.HANDS) == units.shown(kept, units.HANDS)


@given(st.integers(50, 15000))
def test_a_weight_comes_back_within_half_a_pound_and_stays(tenths: int) -> None:
    kept = Decimal(tenths) / 10
    once = units.stored(units.shown(kept, units.LB), units.LB)
    assert abs(Decimal(once) - kept) <= units.KG_PER_LB / 2 + Decimal("0.05")
    assert units.shown(Decimal(once), units.LB) == units.shown(kept, units.LB)


@pytest.mark.parametrize("unit", ["stone", "KG", ""])
def test_a_unit_is_one_of_ours(unit: str) -> None:
    with pytest.raises(allowed.OutOfRange, match="unit: one of kg, lb, cm, in, hands"):
        units.shown(Decimal(500), unit)
    with pytest.raises(allowed.OutOfRange, match="unit: one of kg, lb, cm, in, hands"):
        units.stored("500", unit)


@pytest.mark.parametrize("unit", units.ALL)
@pytest.mark.parametrize("value", ["NaN", "sNaN", "Infinity", "-Infinity"])
def test_what_is_no_finite_number_is_not_shown(value: str, unit: str) -> None:
    with pytest.raises(allowed.OutOfRange, match="value: a finite number"):
        units.shown(Decimal(value), unit)


def test_nothing_stands_under_no_hands_at_all() -> None:
    with pytest.raises(allowed.OutOfRange, match="value: 0 and over, in hands"):
        units.shown(Decimal(-5), units.HANDS)
    # A loss may be shown: kilograms have a sign.
    assert units.shown(Decimal(-5), units.KG) == "-5"
