"""Intervals hold the truth as often as they say: 2,000 invented horses, scored by biased hands."""

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

import numpy as np
import pytest

from scoring.rules import fitted, outlook, standing, trend, trend_batch, trend_fit, trend_panel
from scoring.rules.trend_panel import Floats
from tests.rules import simulated

HORSES = 2000
# How many points each hand scores too high, and how many times the usual noise it has. The biases
# make up for each other: what all hands share no reading can show.
BIAS = {"ann": 0.5, "bea": -0.4, "cay": 0.1, "dot": -0.3, "eve": 0.0, "fay": 0.1}
SPREAD = {"ann": 1.0, "bea": 1.0, "cay": 1.4, "dot": 0.8, "eve": 1.0, "fay": 1.0}
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class Round(NamedTuple):
    """A herd, scores of it by the rules of the scale, and by whom."""

    herd: simulated.Herd
    value: Floats
    by: Any


@pytest.fixture(scope="module")
def scored() -> Round:
    rng = np.random.default_rng(2027)
    herd = simulated.herd(rng, horses=HORSES, readings=(8, 20), model=trend.SCORE)
    hands = np.array(list(BIAS))
    # Each horse has a hand of its own that scores it most of the time.
    own = hands[rng.integers(0, hands.size, HORSES)][herd.horse]
    by = np.where(rng.random(herd.size) < 0.6, own, rng.choice(hands, herd.size))
    noise = standing.SCORE_NOISE["five"] * of(SPREAD, by)
    # Three regions, each felt apart and rounded to a half; their mean comes in sixths.
    felt = rng.normal(0.0, 1.0, (3, herd.size)) * noise * np.sqrt(3)
    halves = np.round(2 * (herd.level + of(BIAS, by) + felt))
    return Round(herd, halves.sum(axis=0) / 6, by)


@pytest.fixture(scope="module")
def found(scored: Round) -> fitted.Fit:
    given = simulated.readings(
        scored.herd, scored.value, method="five", assessor=scored.by.tolist()
    )
    return trend_fit.fit(given, "five")


def of(table: Mapping[str, float], keys: Any) -> Any:
    names, place = np.unique(keys, return_inverse=True)
    return np.array([table[name] for name in names.tolist()])[place]


class Use(NamedTuple):
    """Scores as the trend is given them, and its model."""

    value: Floats
    noise: Any
    model: trend.Model


def with_offsets(scored: Round, found: fitted.Fit) -> Use:
    offsets = {key: found.offset_of("five", key) for key in BIAS}
    value = scored.value - of({key: each[0] for key, each in offsets.items()}, scored.by)
    noise = of({key: found.noise_of("five", key) for key in BIAS}, scored.by)
    doubt = of({key: each[1] for key, each in offsets.items()}, scored.by)
    return Use(value, np.hypot(noise, doubt), found.model)


def without(scored: Round) -> Use:
    return Use(scored.value, standing.SCORE_NOISE["five"], trend.SCORE)


class Covered(NamedTuple):
    """The share of 80% intervals that hold the true level, and the true rate."""

    level: float
    rate: float


def covered(herd: simulated.Herd, use: Use, *, hindsight: bool) -> Covered:
    """Count at each horse's last reading, or in hindsight at all, where a rate may be shown."""
    number = trend_panel.baselines(herd.horse, herd.days, np.zeros(herd.size))
    panel = trend_panel.arrange(number, herd.days)
    way = trend_batch.smoothed if hindsight else trend_batch.filtered
    known = way(panel, use.value, use.noise, model=use.model)
    counted = np.bincount(number)[number] >= outlook.FEWEST
    if not hindsight:
        counted &= herd.last
    level = held(herd.level, panel.given(known.level), panel.given(known.level_var))
    rate = held(herd.rate, panel.given(known.rate), panel.given(known.rate_var))
    assert counted.sum() > 0.95 * (herd.size if hindsight else HORSES)
    return Covered(float(level[counted].mean()), float(rate[counted].mean()))


def held(true: Floats, value: Floats, variance: Floats) -> Any:
    return np.abs(true - value) < standing.Z80 * np.sqrt(variance)


@pytest.mark.parametrize("hindsight", [False, True], ids=["the last reading", "all in hindsight"])
def test_80_per_cent_intervals_hold_the_truth_in_76_to_84(
    scored: Round, found: fitted.Fit, hindsight: bool
) -> None:
    share = covered(scored.herd, with_offsets(scored, found), hindsight=hindsight)
    assert 0.76 <= share.level <= 0.84
    assert 0.76 <= share.rate <= 0.84


@pytest.mark.parametrize("hindsight", [False, True], ids=["the last reading", "all in hindsight"])
def test_without_offsets_they_hold_it_too_seldom(scored: Round, hindsight: bool) -> None:
    share = covered(scored.herd, without(scored), hindsight=hindsight)
    assert share.level < 0.72
    assert share.rate < 0.76


def test_the_biases_are_found_and_so_is_the_noise(found: fitted.Fit) -> None:
    for hand, bias in BIAS.items():
        told = found.assessors.offsets[hand]
        assert abs(told.value - bias) < 3 * told.apart_sd < 0.03
    noises = {hand: found.noise_of("five", hand) for hand in BIAS}
    # Rounding three regions to halves adds the variance of a uniform error of their mean.
    rounding = 0.5**2 / 12 / 3
    for hand, times in SPREAD.items():
        assert noises[hand] == pytest.approx(np.sqrt((0.3 * times) ** 2 + rounding), rel=0.05)


def test_the_way_of_a_page_comes_to_the_same_level(scored: Round, found: fitted.Fit) -> None:
    """A standing stepped reading by reading, with the fit's noise and offsets, is the batch's."""
    herd, use = scored.herd, with_offsets(scored, found)
    number = trend_panel.baselines(herd.horse, herd.days, np.zeros(herd.size))
    panel = trend_panel.arrange(number, herd.days)
    known = trend_batch.filtered(panel, use.value, use.noise, model=use.model)
    level, variance = panel.given(known.level), panel.given(known.level_var)
    for last in np.flatnonzero(herd.last)[:50]:
        state = None
        for n in np.flatnonzero(herd.horse == herd.horse[last]):
            offset, doubt = found.offset_of("five", scored.by[n])
            state = standing.step(
                state,
                EPOCH + timedelta(days=float(herd.days[n])),
                float(scored.value[n]),
                found.noise_of("five", scored.by[n]),
                model=found.model,
                offset=offset,
                offset_sd=doubt,
            )
        assert state is not None
        assert state.level == pytest.approx(level[last], rel=1e-9)
        assert state.level_var == pytest.approx(variance[last], rel=1e-9)
