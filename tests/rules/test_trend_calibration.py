"""Intervals hold the truth as often as they say: 2,000 invented horses, scored by biased hands.

The hands are drawn from the law that the product takes them to have, and are not centred. Given one
hand that is half a point off and all that is known of it the prior, its horses' intervals hold the
truth in about a half: that is no fault of the interval, which is told for all hands that might be.
"""

from collections.abc import Mapping
from datetime import timedelta
from functools import cache
from typing import Any

import numpy as np
import pytest

from scoring.rules import (
    doubts,
    fitted,
    outlook,
    standing,
    trend,
    trend_batch,
    trend_fit,
    trend_panel,
)
from tests.rules import scored_herds, simulated
from tests.rules.scored_herds import ONE, SIX
from tests.rules.state_space import at

# How many points each hand scores too high, and how many times the usual noise it has.
BIAS = {"ann": 0.5, "bea": -0.4, "cay": 0.1, "dot": -0.3, "eve": 0.0, "fay": 0.1}
SPREAD = {"ann": 1.0, "bea": 1.0, "cay": 1.4, "dot": 0.8, "eve": 1.0, "fay": 1.0}
# Who scored, whether a fit was made of it, and of which horses the intervals are counted.
CASES = {
    "one hand a horse, nothing fitted": (ONE, False, ONE),
    "one hand a horse, nothing to compare": (ONE, True, ONE),
    "six hands, nothing fitted": (SIX, False, SIX),
    "six hands, fitted": (SIX, True, SIX),
}


@cache
def held(who: str, fits: bool) -> dict[str, scored_herds.Held]:
    return scored_herds.held(2027, who, fits=fits)


@pytest.mark.parametrize(("who", "fits", "of"), CASES.values(), ids=CASES)
def test_80_per_cent_intervals_hold_the_truth_in_76_to_84(who: str, fits: bool, of: str) -> None:
    found = held(who, fits)[of]
    assert len(found.level) > 0.7 * scored_herds.ORGANISATIONS * scored_herds.HORSES
    shares = found.shares()
    assert {name: 0.76 <= each <= 0.84 for name, each in shares.items()} == dict.fromkeys(
        shares, True
    ), shares


def test_a_horse_of_one_hand_among_others_that_six_scored_is_told_as_honestly() -> None:
    """500 of them: four standard errors of 80% are 7%."""
    shares = held(SIX, True)[ONE].shares()
    assert all(0.73 <= each <= 0.87 for each in shares.values()), shares


def test_more_readings_by_one_hand_do_not_take_its_offset_away() -> None:
    """Of the level, that is; the rate is surer for each of them, and never touched by it."""
    first, last = (one_hand(count) for count in (3, 60))
    for state in (first, last):
        whole = trend.whole(state)
        assert whole.level_var - state.level_var == pytest.approx(0.3**2)
        assert whole.rate_var == pytest.approx(state.rate_var)
    assert outlook.level(last).high - 3 > standing.Z80 * 0.3
    assert last.rate_var < first.rate_var


def one_hand(count: int) -> trend.State:
    hand = doubts.of_hand("five", "ann")
    taken = (standing.score_reading(at(14 * n), 18, "five", doubts=hand) for n in range(count))
    state = trend.refilter(taken)
    assert state is not None
    return state


@pytest.fixture(scope="module")
def herd() -> simulated.Herd:
    return simulated.herd(
        np.random.default_rng(2027), horses=500, readings=(8, 20), model=trend.SCORE
    )


@pytest.fixture(scope="module")
def by(herd: simulated.Herd) -> Any:
    return np.random.default_rng(2028).choice(list(BIAS), herd.size)


@pytest.fixture(scope="module")
def value(herd: simulated.Herd, by: Any) -> Any:
    """Three regions, each felt apart and rounded to a half; their mean comes in sixths."""
    noise = standing.SCORE_NOISE["five"] * of(SPREAD, by) * np.sqrt(3)
    felt = np.random.default_rng(2029).normal(0.0, 1.0, (3, herd.size)) * noise
    return np.round(2 * (herd.level + of(BIAS, by) + felt)).sum(axis=0) / 6


@pytest.fixture(scope="module")
def found(herd: simulated.Herd, by: Any, value: Any) -> fitted.Fit:
    given = simulated.readings(herd, value, method="five", assessor=by.tolist())
    return trend_fit.fit(given, "five")


def of(table: Mapping[str, float], keys: Any) -> Any:
    names, place = np.unique(keys, return_inverse=True)
    return np.array([table[name] for name in names.tolist()])[place]


def test_the_biases_are_found_and_so_is_the_noise(found: fitted.Fit) -> None:
    """These make up for each other: what all hands share no reading can show."""
    for hand, bias in BIAS.items():
        told = found.assessors.offsets[hand]
        assert abs(told.value - bias) < 3 * told.apart_sd < 0.06
        # What is left is what all six share, as the mean of six from the law of hands.
        assert told.shared_sd == pytest.approx(found.assessors.sd / np.sqrt(6), rel=0.02)
        assert told.own_sd < 0.02
    noises = {hand: found.noise_of("five", hand) for hand in BIAS}
    # Rounding three regions to halves adds the variance of a uniform error of their mean.
    rounding = 0.5**2 / 12 / 3
    for hand, times in SPREAD.items():
        assert noises[hand] == pytest.approx(np.sqrt((0.3 * times) ** 2 + rounding), rel=0.1)


def test_the_way_of_a_page_comes_to_the_same_level(
    herd: simulated.Herd, by: Any, value: Any, found: fitted.Fit
) -> None:
    """A state stepped reading by reading, with the fit's noise and offsets, is the batch's."""
    panel = trend_panel.arrange(
        trend_panel.baselines(herd.horse, herd.days, np.zeros(herd.size)), herd.days
    )
    offsets = of({key: found.offset_of("five", key) for key in BIAS}, by)
    noise = of({key: found.noise_of("five", key) for key in BIAS}, by)
    known = trend_batch.filtered(panel, value - offsets, noise, model=found.model)
    level, variance = panel.given(known.level), panel.given(known.level_var)
    for last in np.flatnonzero(herd.last)[:50]:
        state = None
        for n in np.flatnonzero(herd.horse == herd.horse[last]):
            state = standing.step(
                state,
                scored_herds.EPOCH + timedelta(days=float(herd.days[n])),
                float(value[n]),
                found.noise_of("five", by[n]),
                model=found.model,
                offset=found.offset_of("five", by[n]),
                doubts=found.doubts_of("five", by[n]),
            )
        assert state is not None
        assert state.level == pytest.approx(level[last], rel=1e-9)
        assert state.level_var == pytest.approx(variance[last], rel=1e-9)
