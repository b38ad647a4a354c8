"""The published pelvis-led rule beside the mean."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import checked, overall, scale
from scoring.rules.scale import MARKED, Felt
from tests.outside import WITHIN_TOLERANCE, outside

halves = st.integers(0, 10)
# Pelvis, back, neck and what they come to, by the rule as two pages print it.
PRINTED = [
    ("3", "3", "3", "3"),
    ("3", "4", "3", "3.5"),
    ("3", "3", "2", "2.5"),
    ("3", "3.5", "3", "3"),  # away by less than 1
    ("2", "3", "3", "2.5"),  # once only
    ("4.5", "5", "5", "4.5"),
    ("0", "1", "0", "0.5"),
    ("5", "4", "5", "4.5"),
]


def led(pelvis: str, back: str, neck: str) -> int | None:
    felt = Felt(scale.halves(neck), scale.halves(back), scale.halves(pelvis))
    return overall.pelvis_led(felt)


@outside(
    "pelvis score, moved by half a point toward neck or back where one is 1 or more away",
    source="Carroll and Huntington 1988, EVJ 20:41-45, the rule as two later pages print it; the "
    "animals are ours",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(("pelvis", "back", "neck", "comes_to"), PRINTED)
def test_the_printed_rule(pelvis: str, back: str, neck: str, comes_to: str) -> None:
    assert led(pelvis, back, neck) == scale.halves(comes_to)


@pytest.mark.parametrize(("pelvis", "back", "neck"), [("3", "4", "2"), ("3", "1", "5")])
def test_opposite_ways_leave_the_pelvis_score_which_is_our_choice(
    pelvis: str, back: str, neck: str
) -> None:
    """No published rule says what to do then."""
    assert led(pelvis, back, neck) == scale.halves(pelvis)


@given(halves, halves, halves)
def test_it_stays_on_the_scale_and_within_half_a_point_of_the_pelvis(
    neck: int, back: int, hind: int
) -> None:
    found = overall.pelvis_led(Felt(neck, back, hind))
    assert found is not None
    assert 0 <= found <= scale.TOP_HALVES
    assert abs(found - hind) <= 1
    assert min(neck, back, hind) <= found <= max(neck, back, hind)


def test_a_fatter_region_never_lowers_it_but_a_pelvis_between_two_that_disagree() -> None:
    """Of all there are: with neck and back 1.5 apart a fatter pelvis may turn to the thin one."""
    lowered = set()
    for neck, back, hind in itertools.product(range(scale.TOP_HALVES + 1), repeat=3):
        before = overall.pelvis_led(Felt(neck, back, hind))
        assert before is not None
        for which in range(3):
            scores = [neck, back, hind]
            if scores[which] == scale.TOP_HALVES:
                continue
            scores[which] += 1
            after = overall.pelvis_led(Felt(*scores))
            assert after is not None
            if after < before:
                lowered.add((which, abs(neck - back)))
    assert lowered == {(2, 3)}


@given(halves, halves, halves)
def test_neck_and_back_count_alike(one: int, other: int, hind: int) -> None:
    assert overall.pelvis_led(Felt(one, other, hind)) == overall.pelvis_led(Felt(other, one, hind))


def test_it_is_asked_of_the_regions_as_used() -> None:
    """A back of 3.5 with a marked pocket is used as 4, a full point above a pelvis of 3."""
    felt = Felt(6, 7, 6)
    assert overall.pelvis_led(felt) == 6
    assert overall.pelvis_led(felt.with_pocket(MARKED)) == 7


def test_a_region_not_felt_leaves_none() -> None:
    for felt in (Felt(None, 6, 6), Felt(6, None, 6), Felt(6, 6, None), Felt(None, None, None)):
        assert overall.pelvis_led(felt) is None


@pytest.mark.parametrize(
    ("regions", "field"),
    [
        ((11, 6, 6), "neck_and_shoulder"),
        ((6, -1, 6), "back_and_ribs"),
        ((None, 6, 99), "hindquarters"),
    ],
)
def test_a_region_off_the_scale_is_refused_by_name(
    regions: tuple[int | None, int | None, int | None], field: str
) -> None:
    with pytest.raises(checked.OutOfRange) as caught:
        overall.pelvis_led(Felt(*regions))
    assert (caught.value.field, caught.value.allowed) == (field, "0 to 10")
