"""Scores, the fat pocket, rounding, ties: against the trade and worked by hand."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import scale
from scoring.rules.scale import BACK, HIND, MARKED, NECK, NO_POCKET, Felt

halves = st.integers(0, 10)


def felt(*points: str) -> Felt:
    return Felt(*(scale.halves(each) for each in points))


@pytest.mark.parametrize(
    ("points", "nearest", "fattest"),
    [
        # Common practice, no published source.
        (("4", "4.5", "4"), "4.0", (BACK,)),
        (("3.5", "3", "3"), "3.0", (NECK,)),
        # Worked by hand: (3.5 + 5 + 4) / 3 = 4.1666...
        (("3.5", "5", "4"), "4.0", (BACK,)),
        (("3", "3", "3"), "3.0", (NECK, BACK, HIND)),
        (("2", "3", "3"), "2.5", (BACK, HIND)),
    ],
)
def test_three_regions_come_to_a_mean_and_a_fattest(
    points: tuple[str, ...], nearest: str, fattest: tuple[str, ...]
) -> None:
    found = felt(*points)
    assert scale.shown(scale.nearest_halves(found.sixths()) or 0) == nearest
    assert found.fattest() == fattest


@pytest.mark.parametrize(
    ("sixths", "shown", "nearest"),
    # 3.17 is a 3, 3.83 is a 4, 1.17 is a 1: the house's rule for places and thresholds.
    [(19, "3.17", "3.0"), (23, "3.83", "4.0"), (7, "1.17", "1.0"), (25, "4.17", "4.0")],
)
def test_the_nearest_half_and_two_places(sixths: int, shown: str, nearest: str) -> None:
    assert scale.shown_mean(sixths) == shown
    assert scale.shown(scale.nearest_halves(sixths) or 0) == nearest


def test_half_points_are_allowed_on_the_scale_from_0_to_5() -> None:
    """Carroll and Huntington 1988, Equine Vet J 20:41-45: 0 to 5 with half points."""
    assert list(scale.every_half(scale.FIVE)) == list(range(11))


def test_henneke_runs_from_1_to_9() -> None:
    """Henneke et al. 1983, Equine Vet J 15:371-372."""
    nine = scale.of(scale.NINE)
    assert (nine.low_points, nine.high_points) == (Decimal(1), Decimal(9))


def test_a_marked_pocket_adds_half_a_point_to_back_and_ribs_capped_at_five() -> None:
    """Common practice, no published source; the region and the cap are our reading."""
    assert felt("3", "3", "3").with_pocket(MARKED) == felt("3", "3.5", "3")
    assert felt("3", "4.5", "3").with_pocket(MARKED) == felt("3", "5", "3")
    assert felt("3", "5", "3").with_pocket(MARKED) == felt("3", "5", "3")
    assert felt("3", "3", "3").with_pocket("slight") == felt("3", "3", "3")


def test_donkeys_are_never_scored_on_a_horse_chart() -> None:
    """England's statutory code (Defra 2017) prints a chart of their own for donkeys."""
    assert scale.for_species("donkey") == (scale.DONKEY,)
    assert scale.DONKEY not in scale.for_species("horse")


@given(halves, halves, halves, st.sampled_from(scale.POCKETS))
def test_the_nearest_half_is_the_nearest_and_never_a_tie(
    neck: int, back: int, hind: int, pocket: str
) -> None:
    sixths = Felt(neck, back, hind).with_pocket(pocket).sixths()
    assert sixths is not None
    exact = Fraction(sixths, 3)
    nearest = scale.nearest_halves(sixths)
    assert nearest is not None
    assert abs(exact - nearest) < Fraction(1, 2)
    assert scale.mean(sixths) is not None
    assert abs(Fraction(scale.mean(sixths) or Decimal(0)) - Fraction(sixths, 6)) <= Fraction(1, 200)


@given(halves, halves, halves)
def test_a_region_not_felt_leaves_no_overall_and_no_fattest(one: int, two: int, three: int) -> None:
    for missing in (Felt(None, two, three), Felt(one, None, three), Felt(one, two, None)):
        for pocket in (MARKED, NO_POCKET):
            assert missing.with_pocket(pocket).sixths() is None
            assert missing.with_pocket(pocket).fattest() == ()
