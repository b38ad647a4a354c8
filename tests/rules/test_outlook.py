"""What a trend says in plain numbers, and when it says nothing: against scipy and Fieller."""

import math
import random
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import checked, keys, outlook, standing, trend
from tests.oracles import stats
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside
from tests.rules import true_animals
from tests.rules.state_space import START, at

SCIPY = "scipy.stats.norm, run beside ours"
LAW = st.floats(-3, 3)


def state(
    level: float = 3.0,
    rate: float = 0.0,
    *,
    level_var: float = 0.04,
    cross: float = 0.0,
    rate_var: float = 0.0,
    count: int = 6,
    span: float = 70.0,
) -> trend.State:
    """Return what a filter knows at day 0, after readings over a span of days."""
    now = START.timestamp()
    first = now - span * trend.DAY
    return trend.State("five", now, first, count, level, rate, level_var, cross, rate_var)


STEADY = trend.Model(rate_sd=0.01, drift=0.0)


def days(when: datetime | None) -> float:
    assert when is not None
    return (when - START) / timedelta(days=1)


def test_every_refusal_is_a_message_key() -> None:
    told = {outlook.NOT_ENOUGH, outlook.TOO_CLOSE, outlook.TOO_OLD, outlook.NOT_WITHIN}
    assert told <= set(keys.TREND)


@outside("the quantile behind every 80% interval, to 1e-12", source=SCIPY, status=WITHIN_TOLERANCE)
def test_an_interval_leaves_a_tenth_at_either_side() -> None:
    assert pytest.approx(stats.norm.ppf(0.9), rel=1e-12) == outlook.Z80
    assert outlook.span(3.0, 0.25) == pytest.approx((3.0, *stats.norm.interval(0.8, 3.0, 0.5)))


@given(LAW, LAW, st.floats(0.001, 4), st.floats(0, 100))
@outside(
    "the chance of lying above or below a limit, to 1e-6", source=SCIPY, status=WITHIN_TOLERANCE
)
def test_a_chance_is_the_normal_laws(level: float, limit: float, var: float, ahead: float) -> None:
    known = state(level, 0.01, level_var=var, rate_var=1e-6)
    spread = math.sqrt(var + ahead**2 * 1e-6)
    above = outlook.chance_above(known, limit, at(ahead), model=STEADY)
    below = outlook.chance_below(known, limit, at(ahead), model=STEADY)
    theirs = stats.norm.sf(limit, level + 0.01 * ahead, spread)
    assert above == pytest.approx(theirs, rel=1e-6, abs=1e-12)
    assert above + below == pytest.approx(1.0)


FEW = {
    "nothing": (None, outlook.NOT_ENOUGH),
    "two readings": (state(count=2), outlook.NOT_ENOUGH),
    "three on one day": (state(count=3, span=0), outlook.TOO_CLOSE),
    "three within two weeks": (state(count=3, span=13.99), outlook.TOO_CLOSE),
    "three over two weeks": (state(count=3, span=14), ""),
}


@pytest.mark.parametrize(("known", "reason"), FEW.values(), ids=FEW)
def test_too_few_or_too_close_readings_have_a_level_and_no_more(
    known: trend.State | None, reason: str
) -> None:
    assert outlook.lacking(known) == outlook.lacking_at(known, at(0)) == reason
    found = outlook.estimate(known)
    if known is None:
        assert found is None
    else:
        assert found is not None
        assert (found.enough, found.reason) == (reason == "", reason)
        assert (found.level, found.low) == (3.0, 3.0 - outlook.Z80 * 0.2)
    told = outlook.forecast(known, 2, 4, at(0), model=STEADY)
    if reason:
        assert told.reason == reason
        assert (told.event, told.earliest, told.expected, told.latest) == ("", None, None, None)


def test_after_120_days_nothing_is_said() -> None:
    assert outlook.lacking_at(state(), at(120)) == ""
    assert outlook.lacking_at(state(), at(120.001)) == outlook.TOO_OLD
    told = outlook.forecast(state(), 2, 4, at(121), model=STEADY)
    assert (told.event, told.reason) == ("", outlook.TOO_OLD)


def test_rates_are_a_month_for_scores_and_a_week_for_weights() -> None:
    found = outlook.estimate(state(rate=0.01, rate_var=1e-6))
    assert found is not None
    assert found.rate_per_month == pytest.approx(0.01 * 365.25 / 12)
    assert found.rate_low == pytest.approx((0.01 - outlook.Z80 * 1e-3) * 365.25 / 12)
    assert found.rate_high == pytest.approx((0.01 + outlook.Z80 * 1e-3) * 365.25 / 12)


def test_a_weight_that_loses_1_per_cent_a_week_says_so() -> None:
    """500 kg, 1% less each week, weighed without error: per cent of itself, kilograms of today."""
    taken = [standing.weight_reading(at(7 * n), 500 * 0.99**n, "weighbridge") for n in range(53)]
    known = trend.refilter(taken, model=trend.Model(1.0, 0.0))
    assert known is not None
    found = outlook.weight_rate(known)
    assert found.percent.value == pytest.approx(-1.0, abs=1e-3)
    assert found.kg.value == pytest.approx(-0.01 * 500 * 0.99**52, abs=1e-3)
    assert found.percent.low < found.percent.value < found.percent.high < 0
    assert found.kg.low / found.kg.value == pytest.approx(found.percent.low / found.percent.value)


@outside(
    "when a line that is known with error crosses a limit: the roots of Fieller's quadratic",
    source="Fieller 1954, Journal of the Royal Statistical Society B 16:175",
    status=FROM_MEMORY,
)
def test_a_forecasts_interval_is_fiellers() -> None:
    """Without drift the bounds solve (level + rate d - limit)² = z² var(d), to the hour."""
    known = state(3.0, 0.02, level_var=0.01, cross=0.0001, rate_var=4e-6)
    told = outlook.forecast(known, 2, 4, at(0), model=STEADY, horizon_days=200)
    z2, off = outlook.Z80**2, 3.0 - 4
    early, late = np.sort(
        np.roots([0.02**2 - z2 * 4e-6, 2 * (off * 0.02 - z2 * 0.0001), off**2 - z2 * 0.01])
    )
    assert (told.event, told.edge, told.reason) == (outlook.LEAVES, outlook.HIGH, "")
    assert days(told.earliest) == pytest.approx(early, abs=1 / 24)
    assert days(told.expected) == pytest.approx(50, abs=1 / 24)
    assert days(told.latest) == pytest.approx(late, abs=1 / 24)


WAYS = {
    "up into the band": (1.5, 0.02, outlook.ENTERS, outlook.LOW, 25),
    "down into the band": (4.5, -0.02, outlook.ENTERS, outlook.HIGH, 25),
    "up out of it": (3.5, 0.02, outlook.LEAVES, outlook.HIGH, 25),
    "down out of it": (2.5, -0.02, outlook.LEAVES, outlook.LOW, 25),
}


@pytest.mark.parametrize(("level", "rate", "event", "edge", "after"), WAYS.values(), ids=WAYS)
def test_a_band_is_entered_or_left_when_the_line_gets_there(
    level: float, rate: float, event: str, edge: str, after: float
) -> None:
    known = state(level, rate, level_var=1e-4, rate_var=1e-6)
    told = outlook.forecast(known, 2, 4, at(0), model=STEADY)
    assert (told.event, told.edge, told.reason) == (event, edge, "")
    assert days(told.earliest) < days(told.expected) < days(told.latest)
    assert days(told.expected) == pytest.approx(after, abs=1 / 24)


def test_what_does_not_come_within_the_horizon_is_not_told() -> None:
    away = outlook.forecast(state(4.5, 0.02), 2, 4, at(0), model=STEADY)
    assert (away.event, away.reason, away.horizon_days) == ("enters", outlook.NOT_WITHIN, 90)
    assert (away.expected, away.latest) == (None, None)
    later = state(3.0, 0.01, level_var=1e-4)
    assert outlook.forecast(later, 2, 4, at(0), model=STEADY).reason == outlook.NOT_WITHIN
    longer = outlook.forecast(later, 2, 4, at(0), model=STEADY, horizon_days=101)
    assert (longer.reason, round(days(longer.expected))) == ("", 100)


def test_an_end_that_cannot_be_sure_is_left_open() -> None:
    """A rate of which even the sign is unsure: expected some day, but never to be relied on."""
    told = outlook.forecast(state(3.9, 0.005, rate_var=1e-4), 2, 4, at(0), model=STEADY)
    assert told.expected is not None
    assert told.latest is None
    assert told.reason == ""


def test_a_horse_that_may_be_out_already_is_told_from_now_on() -> None:
    told = outlook.forecast(state(3.9, 0.005), 2, 4, at(10), model=STEADY)
    assert told.earliest == at(10)


def test_the_likelier_edge_is_told_when_neither_is_expected() -> None:
    for level, edge in ((2.4, outlook.LOW), (3.6, outlook.HIGH)):
        told = outlook.forecast(state(level, level_var=0.02), 2, 4, at(0), model=trend.SCORE)
        assert (told.event, told.edge, told.reason) == ("leaves", edge, outlook.NOT_WITHIN)


def test_chances_of_a_forecast_are_kept_in_the_long_run() -> None:
    """2,000 invented animals: beyond the edge by each of its times as often as it said.

    Within three standard errors of 10, 50 and 90%.
    """
    rng = random.Random(15)
    model = trend.Model(rate_sd=trend.SCORE.rate_sd * 2, drift=trend.SCORE.drift / 20)
    told: dict[str, list[bool]] = {"earliest": [], "expected": [], "latest": []}
    for _ in range(2000):
        taken, truths = true_animals.animal([14.0 * n for n in range(10)], 0.2, model, rng)
        known, now, truth = trend.refilter(taken, model=model), taken[-1].at, truths[-1]
        found = outlook.forecast(known, 2.5, 3.5, now, model=model, horizon_days=120)
        above = (found.event, found.edge) in {("enters", "low"), ("leaves", "high")}
        limit = 2.5 if found.edge == outlook.LOW else 3.5
        for name, kept in told.items():
            when = getattr(found, name)
            if when is not None and when > now:
                truth = true_animals.moved(truth, days(when), model, rng)
                kept.append(truth.level > limit if above else truth.level < limit)
    for chance, kept in zip((0.1, 0.5, 0.9), told.values(), strict=True):
        assert len(kept) > 100
        error = math.sqrt(chance * (1 - chance) / len(kept))
        assert sum(kept) / len(kept) == pytest.approx(chance, abs=3 * error)


def test_a_reading_a_little_ahead_of_our_clock_is_taken_as_now() -> None:
    early = START - timedelta(minutes=5)
    assert outlook.at(state(rate=0.1), early, model=STEADY).level == 3.0
    assert outlook.forecast(state(), 2, 4, early, model=STEADY).event == "leaves"
    with pytest.raises(trend.OutOfOrder):
        outlook.at(state(), early - timedelta(seconds=1), model=STEADY)


NO_NUMBERS = {"low": math.nan, "high": 1.0, "horizon_days": 0}


@pytest.mark.parametrize("field", NO_NUMBERS)
def test_a_band_or_horizon_that_cannot_be_is_refused_by_its_field(field: str) -> None:
    asked = {"low": 2.0, "high": 4.0, "horizon_days": 90, field: NO_NUMBERS[field]}
    with pytest.raises(checked.OutOfRange) as found:
        outlook.forecast(state(), now=at(0), model=STEADY, **asked)  # type: ignore[arg-type]
    assert found.value.field == field


def test_a_score_is_held_to_the_ends_of_its_scale_and_a_weight_is_not() -> None:
    found = outlook.estimate(state(5.2, level_var=0.25))
    assert found is not None
    assert (found.level, found.high) == (5.0, 5.0)
    assert found.low == pytest.approx(5.2 - outlook.Z80 * 0.5)
    low = outlook.estimate(state(0.9)._replace(series="nine"))
    assert low is not None
    assert (low.level, low.low) == (1.0, 1.0)
    heavy = outlook.estimate(state(6.2)._replace(series="weight"))
    assert heavy is not None
    assert heavy.level == 6.2


def test_what_is_told_has_the_doubt_of_a_hand_in_it() -> None:
    """By the filter .2 alone, and a hand that may be .3 off at every reading."""
    known = state(level_var=0.04, rate_var=1e-6)._replace(shared={"hand:1": (1.0, 0.0, 0.3)})
    told, sure = outlook.estimate(known), outlook.estimate(known._replace(shared={}))
    assert told is not None
    assert sure is not None
    assert told.high - told.level == pytest.approx(outlook.Z80 * math.sqrt(0.04 + 0.09))
    assert (told.rate_low, told.rate_high) == (sure.rate_low, sure.rate_high)
    above = outlook.chance_above(known, 3.3, at(0), model=STEADY)
    assert above == pytest.approx(stats.norm.sf(3.3, 3.0, math.sqrt(0.13)))


def test_a_limit_or_weight_that_is_no_number_is_refused() -> None:
    broken = state(math.nan)
    for refused in (
        lambda: outlook.span(math.nan, 1.0),
        lambda: outlook.span(0.0, math.nan),
        lambda: outlook.span(0.0, -1.0),
        lambda: outlook.estimate(broken),
        lambda: standing.estimate(broken),
        lambda: outlook.forecast(state(), 2, 4, at(0), model=STEADY, horizon_days=90.5),  # type: ignore[arg-type]
        lambda: outlook.chance_above(state(), math.nan, at(0), model=STEADY),
        lambda: outlook.chance_below(state(), math.inf, at(0), model=STEADY),
        lambda: outlook.kilograms(outlook.Span(0.0, 0.0, 701.0)),
        lambda: outlook.weight_rate(state(rate=101.0)),
    ):
        with pytest.raises(checked.OutOfRange):
            refused()
