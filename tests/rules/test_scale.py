"""Scores, the fat pocket, rounding, ties: against the trade and worked by hand."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import checked, scale
from scoring.rules.scale import BACK, HIND, MARKED, NECK, NO_POCKET, Felt
from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, outside
from yards.rules import fixture

LEVELS = fixture.load("scales")["scales"]
halves = st.integers(0, 10)


def felt(*points: str) -> Felt:
    return Felt(*(scale.halves(each) for each in points))


@outside(
    "4, 4.5 and 4 come to a 4, fattest over back and ribs; 3.5, 3 and 3 to a 3",
    source="people who score horses",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize(
    ("points", "nearest", "fattest"),
    [
        (("4", "4.5", "4"), "4.0", (BACK,)),
        (("3.5", "3", "3"), "3.0", (NECK,)),
    ],
)
def test_three_regions_come_to_what_the_trade_says(
    points: tuple[str, ...], nearest: str, fattest: tuple[str, ...]
) -> None:
    found = felt(*points)
    assert scale.shown(scale.nearest_halves(found.sixths()) or 0) == nearest
    assert found.fattest() == fattest


@pytest.mark.parametrize(
    ("points", "nearest", "fattest"),
    [
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


@outside(
    "0 to 5 with half points, by neck, back and ribs, pelvis",
    source="Carroll and Huntington 1988, Equine Vet J 20:41-45, abstract",
    status=EXACT,
)
def test_half_points_are_allowed_on_the_scale_from_0_to_5() -> None:
    assert list(scale.every_half(scale.FIVE)) == list(range(11))


@outside("1 to 9", source="Henneke et al. 1983, Equine Vet J 15:371-372", status=EXACT)
def test_henneke_runs_from_1_to_9() -> None:
    nine = scale.of(scale.NINE)
    assert (nine.low_points, nine.high_points) == (Decimal(1), Decimal(9))


@outside(
    "a crest is scored from 0 to 5, six levels",
    source="Carter et al. 2009, Vet J 179:204-210, levels as quoted",
    status=EXACT,
)
def test_the_crest_has_six_levels_from_0_to_5() -> None:
    crest = scale.of(scale.CREST)
    assert (crest.low_points, crest.high_points) == (Decimal(0), Decimal(5))
    assert len(LEVELS[scale.CREST]["levels"]) == 6


@outside(
    "a chart from 1, poor, to 5, obese, for donkeys, with 3 as the ideal",
    source="Scottish Government code 2009, appendix C, from level 1's first words on unread",
    status=FROM_MEMORY,
)
def test_donkeys_run_from_1_to_5_with_3_ideal() -> None:
    donkey = scale.of(scale.DONKEY)
    assert (donkey.low_points, donkey.high_points) == (Decimal(1), Decimal(5))
    titles = {each["score"]: each["title"] for each in LEVELS[scale.DONKEY]["levels"]}
    assert (titles["1.0"], titles["3.0"], titles["5.0"]) == ("poor", "ideal", "obese")


@outside(
    "a marked fat pocket behind the shoulder adds half a point",
    source="people who score horses",
    status=COMMON_PRACTICE,
)
def test_a_marked_pocket_adds_half_a_point_to_back_and_ribs_capped_at_five() -> None:
    """The region and the cap are our reading."""
    assert felt("3", "3", "3").with_pocket(MARKED) == felt("3", "3.5", "3")
    assert felt("3", "4.5", "3").with_pocket(MARKED) == felt("3", "5", "3")
    assert felt("3", "5", "3").with_pocket(MARKED) == felt("3", "5", "3")
    assert felt("3", "3", "3").with_pocket("slight") == felt("3", "3", "3")


@outside(
    "donkeys have a chart of their own",
    source="England's statutory code of practice, Defra 2017",
    status=EXACT,
)
def test_donkeys_are_never_scored_on_a_horse_chart() -> None:
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


@pytest.mark.parametrize("points", ["Infinity", "-Infinity", "NaN", "sNaN", "abc", "", "3.25"])
def test_what_is_no_half_point_is_refused_by_name(points: str) -> None:
    with pytest.raises(checked.OutOfRange, match="points: whole and half points"):
        scale.halves(points)


@pytest.mark.parametrize(
    ("regions", "field"),
    [((99, -3, 10), NECK), ((0, 11, 10), BACK), ((0, None, -1), HIND)],
)
def test_a_region_off_the_scale_is_refused_by_name(
    regions: tuple[int | None, int | None, int | None], field: str
) -> None:
    with pytest.raises(checked.OutOfRange, match=f"{field}: 0 to 10"):
        Felt(*regions)


def test_a_species_without_a_scale_is_refused_by_name() -> None:
    assert scale.for_species("zebra") == ()
    with pytest.raises(checked.OutOfRange, match="species: one of horse, mule, donkey"):
        scale.usual_for("zebra")
