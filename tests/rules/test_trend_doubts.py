"""How far hands and tapes may be off: against a published trial, and against moved readings."""

import math
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest

from scoring.rules import checked, doubts, fitted, outlook, smoothing, standing, trend, trend_shared
from tests.outside import WITHIN_TOLERANCE, outside
from tests.rules.state_space import at

# Estimates of 600 horses in per cent of the weighbridge, mean and SD: all, below and from 15 hands.
TRIAL = {
    "formula": (("formula", 0.106, 98.6, 10.6),),
    "formula, below 15 hands": (("formula", 0.052, 99.6, 5.2),),
    "formula, from 15 hands": (("formula", 0.131, 95.5, 13.1),),
    "two tapes": (("weigh_tape", None, 112.0, 9.3), ("weigh_tape", None, 98.1, 8.1)),
    "by eye": (("estimate", None, 88.3, 20.1),),
}


def hand_of(n: int) -> str:
    return f"hand {n * n % 3}"


def weighed(count: int, method: str, error: float | None) -> trend.State:
    """Return what is known after so many weights of 500 kg, one an hour, by one hand and tool."""
    own = doubts.of_weight(method, "ann", "it", error)
    taken = (standing.weight_reading(at(n / 24), 500, method, doubts=own) for n in range(count))
    state = trend.refilter(taken, model=trend.WEIGHT)
    assert state is not None
    return state


@pytest.mark.parametrize("trial", TRIAL.values(), ids=TRIAL)
@outside(
    "80% intervals of a weight hold the weighbridge in 75 to 87%, by the printed means and SDs",
    source="Ellis and Hollands 1998, Veterinary Record 143:335, as read in a later account",
    status=WITHIN_TOLERANCE,
)
def test_an_interval_of_a_weight_holds_the_weighbridge(trial: Any) -> None:
    shares = []
    for method, error, mean, sd in trial:
        told = outlook.kilograms(outlook.level(weighed(1, method, error)))
        # The estimate over the true weight, where the true one lies within the interval.
        law = NormalDist(mean / 100, sd / 100)
        shares.append(law.cdf(told.value / told.low) - law.cdf(told.value / told.high))
    assert 0.75 <= np.mean(shares) <= 0.87


@pytest.mark.parametrize("method", ["formula", "weigh_tape", "estimate"])
def test_weighing_again_by_the_same_way_tells_the_rate_and_not_the_weight(method: str) -> None:
    once, often = (outlook.level(weighed(count, method, None)) for count in (1, 30))
    least = standing.Z80 * math.hypot(*doubts.WEIGHT[method])
    assert least < often.high - often.value < once.high - once.value
    bridge = outlook.level(weighed(1, "weighbridge", None))
    assert bridge.high - bridge.value == pytest.approx(standing.Z80 * 0.01)


def test_a_formula_is_as_far_out_as_its_source_says_of_such_an_animal() -> None:
    low, high = (dict(doubts.of_weight("formula", "", "it", each)) for each in (0.05, 0.13))
    assert low["tool:it"] == pytest.approx(0.05, rel=0.03)
    assert high["tool:it"] == pytest.approx(0.13, rel=0.01)


def mixed() -> list[trend.Reading]:
    """Return scores by three hands of two organisations' worth of doubt, irregular in time."""
    own = {"hand 0": 0.3, "hand 1": 0.1}
    days = (0, 3, 17, 30, 44, 45, 80, 101, 140, 141, 170, 230)
    return [
        trend.Reading(
            at(day),
            3 + math.sin(day),
            0.2 + 0.1 * (n % 2),
            "five",
            doubts=((hand_of(n), own[hand_of(n)]), ("all", 0.12)),
        )
        for n, day in enumerate(days)
    ]


def shifted(taken: list[trend.Reading], key: str) -> list[trend.Reading]:
    """Return readings a point higher where a key acted on them."""
    return [
        each._replace(value=each.value + 1) if key in dict(each.doubts) else each for each in taken
    ]


@pytest.fixture
def kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no key go: then all is exact."""
    monkeypatch.setattr(trend_shared, "LEAST", 0.0)


@pytest.mark.usefixtures("kept")
def test_a_state_goes_with_an_offset_as_its_readings_do() -> None:
    """The filter run again with one hand's readings a point higher moves by what is kept of it."""
    taken = mixed()
    state = trend.refilter(taken)
    assert state is not None
    assert state.shared.keys() == {"hand 0", "hand 1", "all"}
    for key, (level, rate, _) in state.shared.items():
        moved = trend.refilter(shifted(taken, key))
        assert moved is not None
        assert moved.level - state.level == pytest.approx(level, abs=1e-12)
        assert moved.rate - state.rate == pytest.approx(rate, abs=1e-12)
    assert state.shared["all"][:2] == pytest.approx((1.0, 0.0), abs=1e-12)


@pytest.mark.usefixtures("kept")
def test_a_line_goes_with_an_offset_as_its_readings_do() -> None:
    """So do smoothed points, at readings and between: what they add to the interval is that."""
    taken, asked = mixed(), [at(10), at(60), at(260)]
    [plain] = smoothing.smooth([each._replace(doubts=()) for each in taken], at=asked)
    [line] = smoothing.smooth(taken, at=asked)
    sds = {key: sd for each in taken for key, sd in each.doubts}
    ways = {key: smoothing.smooth(shifted(taken, key), at=asked)[0].points for key in sds}
    for n, (point, bare) in enumerate(zip(line.points, plain.points, strict=True)):
        for name in ("level", "rate"):
            told, own = getattr(point, name), getattr(bare, name)
            added = variance(told) - variance(own)
            moved = [
                sds[key] * (getattr(way[n], name).value - own.value) for key, way in ways.items()
            ]
            assert told.value == own.value
            assert added == pytest.approx(sum(each**2 for each in moved), abs=1e-12)


def variance(told: outlook.Span) -> float:
    return ((told.high - told.low) / 2 / outlook.Z80) ** 2


def test_a_key_that_nothing_goes_with_any_more_is_let_go() -> None:
    old = trend.refilter(mixed()[:2])
    assert old is not None
    assert "hand 1" in old.shared
    for day in range(20, 600, 3):
        old = trend.step(old, at(day), 3.0, 0.2, series="five", doubts=(("hand 0", 0.3),))
    assert old.shared.keys() == {"hand 0"}
    assert old.shared["hand 0"][0] == pytest.approx(1.0, abs=0.01)


def test_a_fit_of_before_tells_what_its_hands_share() -> None:
    own = {"value": 0.1, "sd": 0.13, "apart_sd": 0.05, "compared": True}
    kind = {"sd": 0.3, "offsets": {"7": {**own, "readings": 9, "horses": 3}}, "factors": {}}
    fit = fitted.Fit.of(
        {
            "series": "five",
            "reason": "",
            "model": {"rate_sd": 0.01, "drift": 1e-6},
            "noise": {"five": {"sd": 0.3, "readings": 9, "horses": 3}},
            "true_methods": [],
            "assessors": kind,
            "instruments": {"sd": 0.0, "offsets": {}, "factors": {}},
            "bridged": [],
            "readings": 9,
            "horses": 3,
            "log_likelihood_before": 0.0,
            "log_likelihood_after": 0.0,
            "version": fitted.VERSION,
        }
    )
    told = dict(fit.doubts_of("five", "7"))
    assert told == {"hand:7": pytest.approx(0.05), "hands:0": pytest.approx(0.12)}


def test_what_is_not_known_is_refused_by_its_field() -> None:
    refused: list[Any] = [
        lambda: doubts.of_hand("six", "ann"),
        lambda: doubts.of_weight("guess", "ann", "it"),
        lambda: doubts.of_weight("formula", "ann", "it", math.nan),
        lambda: doubts.of_girth("neck_cm", "ann", "it"),
    ]
    for each in refused:
        with pytest.raises(checked.OutOfRange):
            each()
