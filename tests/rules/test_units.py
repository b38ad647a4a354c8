"""Pounds, inches and hands against the standards that define them, and there and back again."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from yards.rules import units


@pytest.mark.parametrize(
    ("typed", "unit", "kept"),
    [
        # NIST SP 811 (2008), appendix B.8: pound (avoirdupois) 0.45359237 kg, inch 2.54 cm, exact.
        ("1000", units.LB, "453.6"),
        ("2204.6", units.LB, "1000.0"),
        ("100", units.IN, "254.0"),
        # A hand is 4 inches; 14.2 is 14 hands 2 inches (common practice, no published source).
        ("14.2", units.HANDS, "147.3"),
        ("14.2½", units.HANDS, "148.6"),
        ("10", units.HANDS, "101.6"),
        ("10.0", units.HANDS, "101.6"),
    ],
)
def test_what_is_typed_is_kept_as_the_standards_have_it(typed: str, unit: str, kept: str) -> None:
    assert units.stored(typed, unit) == kept


@pytest.mark.parametrize(
    ("value", "unit", "read"),
    [
        ("453.6", units.LB, "1000"),
        ("285", units.KG, "285"),
        ("285.4", units.KG, "285.4"),
        ("101.6", units.HANDS, "10.0"),
        # A pony stands at most 148 cm without shoes (FEI), a little over 14.2.
        ("148", units.HANDS, "14.2½"),
        ("152.4", units.HANDS, "15.0"),
        ("190", units.IN, "75"),
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
