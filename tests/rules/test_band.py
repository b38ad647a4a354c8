"""The band: 2 to 3 is the aim of a leisure horse, 2 leaving winter, 3 entering it."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import band

LEISURE = band.Facts("horse", "leisure", born_earliest=date(2014, 1, 1))


def test_leisure_horses_aim_between_2_and_3_leanest_as_winter_ends() -> None:
    """Common practice, no published source: 2 to 3, low leaving winter, high entering it."""
    leanest, fullest = band.band(LEISURE, date(2026, 2, 28)), band.band(LEISURE, date(2026, 11, 30))
    for found in (leanest, fullest):
        assert (found.low, found.high) == (Decimal(2), Decimal(3))
    assert leanest.aim == Decimal("2.25")
    assert fullest.aim == Decimal("2.75")


@pytest.mark.parametrize(
    ("facts", "edges"),
    [
        (band.Facts("horse", "athlete"), ("2", "2.5")),
        (band.Facts("horse", "broodmare"), ("3", "3.5")),
        (band.Facts("horse", "leisure", born_earliest=date(2000, 1, 1)), ("2.5", "3")),
        (band.Facts("donkey", "companion"), ("2.5", "3.5")),
    ],
)
def test_edges_hang_on_use_and_age(facts: band.Facts, edges: tuple[str, str]) -> None:
    found = band.band(facts, date(2026, 4, 12))
    assert (found.low, found.high) == (Decimal(edges[0]), Decimal(edges[1]))


@given(st.dates(date(2020, 1, 1), date(2030, 1, 1)), st.sampled_from(["north", "south", "none"]))
def test_only_the_aim_moves_smoothly_and_stays_inside(on: date, hemisphere: str) -> None:
    facts = band.Facts("horse", "leisure", hemisphere=hemisphere)
    one, two = band.band(facts, on), band.band(facts, on + timedelta(days=1))
    assert (one.low, one.high) == (two.low, two.high)
    assert one.low + band.INSIDE <= one.aim <= one.high - band.INSIDE
    assert abs(one.aim - two.aim) <= Decimal("0.02")


@pytest.mark.parametrize(
    ("halves", "place"), [(3, "below"), (4, "within"), (6, "within"), (7, "above")]
)
def test_the_place_is_by_the_nearest_half(halves: int, place: str) -> None:
    assert band.place(halves, band.band(LEISURE, date(2026, 4, 12))) == place
