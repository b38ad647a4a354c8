"""How far a level went: surer than its ends where one tape is out at both, and never too sure."""

import random
from datetime import UTC, datetime, timedelta

import pytest

from scoring.rules import chart_change, smoothing, trend
from scoring.rules.outlook import Z80, Span
from tests.oracles import stats
from tests.outside import WITHIN_TOLERANCE, outside

BEGAN = datetime(2026, 1, 1, tzinfo=UTC)
STEADY = trend.Model(rate_sd=0.01, drift=1e-9)


def taken(values: list[float], *keys: str, sd: float = 0.1) -> list[trend.Reading]:
    """Readings a fortnight apart, each by the tape named, which may be out by ``sd``."""
    return [
        trend.Reading(
            BEGAN + timedelta(days=14 * place), value, 0.02, "weight", doubts=((key, sd),)
        )
        for place, (value, key) in enumerate(zip(values, keys, strict=True))
    ]


def ends(readings: list[trend.Reading]) -> tuple[smoothing.Point, smoothing.Point]:
    [line] = smoothing.smooth(readings, model=STEADY)
    return line.points[0], line.points[-1]


def wide(found: Span) -> float:
    return found.high - found.low


FALL = [6.1 - 0.01 * place for place in range(12)]


def test_what_one_tape_is_out_by_leaves_the_change_alone() -> None:
    first, last = ends(taken(FALL, *["mine"] * 12))
    sure = ends(taken(FALL, *["mine"] * 12, sd=0.0))
    assert wide(first.level) > 2 * Z80 * 0.1
    change = chart_change.between(first, last)
    assert change == pytest.approx(chart_change.between(*sure))
    assert change.value == pytest.approx(-0.11, abs=0.005)
    assert change.high < 0, "a fall is a fall, whatever the tape"


def test_two_tapes_leave_it_as_unsure_as_they_are() -> None:
    first, last = ends(taken(FALL, *["mine"] * 6, *["yours"] * 6))
    change = chart_change.between(first, last)
    assert wide(change) > 2 * Z80 * 0.1
    assert change.low < 0 < change.high


def test_a_change_of_weight_is_told_in_kilograms_of_what_it_was() -> None:
    told = chart_change.of_weight(Span(-0.1, -0.2, 0.0), 500)
    assert told == pytest.approx((-47.581, -90.635, 0.0), abs=1e-3)


def test_the_interval_holds_the_true_change_at_least_as_often_as_it_says() -> None:
    dice, held, runs = random.Random(7), 0, 400
    for _ in range(runs):
        rate, off = dice.gauss(0, 0.01), dice.gauss(0, 0.1)
        true = [6 + rate * 14 * place for place in range(10)]
        said = [each + off + dice.gauss(0, 0.02) for each in true]
        found = chart_change.between(*ends(taken(said, *["mine"] * 10)))
        held += found.low <= true[-1] - true[0] <= found.high
    assert 0.8 <= held / runs <= 0.95


@pytest.mark.parametrize(
    ("found", "verdict"),
    [
        (Span(0.3, 0.1, 0.5), "up"),
        (Span(-0.3, -0.5, -0.1), "down"),
        (Span(0.05, -0.1, 0.2), "no"),
        (Span(0.16, -0.05, 0.37), "no"),
        (Span(0.3, -0.1, 0.7), "unsure"),
        (Span(-0.3, -0.7, 0.1), "unsure"),
        (Span(0.0, -0.5, 0.5), "unsure"),
    ],
)
def test_whether_it_changed_is_answered_before_how_far(found: Span, verdict: str) -> None:
    assert chart_change.verdict(found, chart_change.LEAST_POINTS) == verdict


@outside(
    "an interval of 80% that just leaves out nought is one side's nine in ten",
    source="scipy.stats.norm.cdf, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_how_sure_is_the_chance_of_the_way_that_is_told() -> None:
    just = Span(0.3, 0.0, 0.6)
    assert chart_change.sureness(just) == pytest.approx(0.9)
    far = Span(-0.6, -0.9, -0.3)
    assert chart_change.sureness(far) == pytest.approx(float(stats.norm.cdf(2 * Z80)))


@pytest.mark.parametrize(
    ("found", "reach"),
    [
        (Span(0.26, 0.1, 0.42), "less"),
        (Span(-0.26, -0.42, -0.1), "less"),
        (Span(0.4, 0.1, 0.7), "perhaps_less"),
        (Span(-0.3, -0.5, -0.1), "perhaps_less"),
        (Span(0.498, 0.24, 0.75), "as_much"),
        (Span(0.6, 0.3, 0.9), "as_much"),
        (Span(-0.5, -0.9, -0.1), "as_much"),
    ],
)
def test_a_sure_change_is_measured_by_the_yardstick_of_a_no(found: Span, reach: str) -> None:
    assert chart_change.verdict(found, chart_change.LEAST_POINTS) in {"up", "down"}
    assert chart_change.reach(found, chart_change.LEAST_POINTS) == reach


@pytest.mark.parametrize(
    ("score", "weight", "apart"),
    [
        ("up", "no", True),
        ("no", "down", True),
        ("up", "down", True),
        ("down", "down", False),
        ("no", "no", False),
        ("up", "unsure", False),
        ("", "down", False),
    ],
)
def test_two_answers_are_apart_only_where_both_are_known(
    score: str, weight: str, apart: bool
) -> None:
    assert chart_change.is_apart(score, weight) is apart
