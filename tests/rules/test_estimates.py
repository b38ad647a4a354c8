"""Estimates by eye spread widely: a fact of the trade, and the trend must know it."""

import math
from datetime import UTC, datetime, timedelta

import pytest

from scoring.rules import standing
from tests.outside import COMMON_PRACTICE, outside

START = datetime(2026, 1, 1, tzinfo=UTC)
FORTNIGHT = timedelta(days=14)


def level_after(kg: float, method: str) -> float:
    """Return the weight's level after four tapes of 500 kg and one more weight by a method."""
    taken = [standing.weight_reading(START + FORTNIGHT * n, 500, "weigh_tape") for n in range(4)]
    last = standing.weight_reading(START + FORTNIGHT * 4, kg, method)
    state = standing.refilter([*taken, last], model=standing.WEIGHT)
    assert state is not None
    return math.exp(state.level)


@outside(
    "an estimate by eye is the least sure of all weights: people's guesses lie far apart",
    source="people who weigh horses",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize("method", ["weigh_tape", "formula", "weighbridge"])
def test_an_estimate_by_eye_is_the_least_sure_of_all_weights(method: str) -> None:
    assert standing.WEIGHT_NOISE["estimate"] > 2 * standing.WEIGHT_NOISE[method]


@outside(
    "nobody believes one guess against four tapes; one tape and one hand repeat within 10 kg",
    source="people who weigh horses",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize("kg", [430.0, 570.0])
def test_a_wild_guess_hardly_moves_the_level_and_a_tape_does(kg: float) -> None:
    guessed, taped = (abs(level_after(kg, each) - 500) for each in ("estimate", "weigh_tape"))
    assert guessed < 0.25 * taped
    assert guessed < 10  # kilograms, within which one tape and one hand repeat


@outside(
    "by eye one is easily 50 kg out on a 500 kg horse",
    source="people who weigh horses",
    status=COMMON_PRACTICE,
)
def test_a_guess_alone_leaves_the_level_wide_open() -> None:
    first = standing.refilter(
        [standing.weight_reading(START, 500, "estimate")], model=standing.WEIGHT
    )
    assert first is not None
    assert 500 * math.sqrt(first.level_var) >= 40
