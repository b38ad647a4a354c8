"""One measure over time: the same numbers as the standing, cut where baselines are."""

import math
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from scoring.actions import assessments, weighings
from scoring.models import Instrument, Standing
from scoring.queries import board, standing, trend
from scoring.rules import outlook
from scoring.rules import trend as maths
from tests import cast, readings
from yards.actions import events
from yards.rules import errors

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)
TEASEL = cast.ref("Teasel")


def scored(viewer: Any, days: int, score: str, **facts: Any) -> None:
    at = NOW - timedelta(days=days)
    raw = readings.raw("Teasel", at, score, score, score, **facts)
    assessments.record_assessment(viewer, raw, now=at)


def weighed(viewer: Any, days: float, kg: str, **facts: Any) -> None:
    at = NOW - timedelta(days=days)
    raw = {"horse": str(TEASEL), "taken_at": at.isoformat(), "weight_kg": kg, **facts}
    weighings.record_weighing(viewer, raw, now=at)


@pytest.fixture
def drifting(inside: Any) -> None:
    with inside("maud") as viewer:
        for place, score in enumerate(("2.5", "2.5", "3", "3", "3.5")):
            scored(viewer, 112 - 28 * place, score)
        scored(viewer, 14, "5", manner="visual")


def asked(inside: Any, **facts: Any) -> trend.TrendCard:
    with inside("maud") as viewer:
        return trend.get_trend(viewer, TEASEL, now=NOW, **facts)


def test_the_last_level_and_rate_are_the_standing_s(inside: Any, drifting: None) -> None:
    found = asked(inside)
    with inside("maud") as viewer:
        card = standing.get_standing(viewer, TEASEL, now=NOW)
    assert card.overall is not None
    assert card.rate_per_month is not None
    assert found.rate is not None
    assert found.rate.value == pytest.approx(card.rate_per_month.value)
    last = next(each for each in reversed(found.smoothed) if each.at == NOW)
    assert last.level == pytest.approx(card.overall.level)
    assert [last.low, last.high] == pytest.approx([card.overall.low, card.overall.high])
    assert found.rate.value > 0.1


def test_what_the_standing_tells_is_dated_and_after_120_days_not_told(
    inside: Any, drifting: None
) -> None:
    with inside("maud") as viewer:
        [now, late, later] = (
            standing.get_standing(viewer, TEASEL, now=NOW + timedelta(days=days))
            for days in (0, 119, 121)
        )
        rows = {
            days: next(
                row
                for row in board.yard_board(viewer, now=NOW + timedelta(days=days)).rows
                if row.horse_id == TEASEL
            )
            for days in (119, 121)
        }
    assert now.overall == late.overall is not None
    assert late.overall is not None
    assert late.overall.at == NOW
    assert (later.overall, later.rate_per_month) == (None, None)
    assert later.reason == outlook.TOO_OLD
    assert later.last_assessed_at == NOW
    assert (rows[119].low, rows[119].rate_lacks) == (late.overall.low, "")
    assert rows[119].rate_per_month is not None
    row = rows[121]
    assert (row.low, row.high, row.rate_per_month) == (None, None, None)
    assert (row.rate_lacks, row.rate_is_level) == (outlook.TOO_OLD, False)
    assert row.overall == Decimal("3.5")


def test_a_weight_is_dated_and_after_120_days_not_told(inside: Any) -> None:
    with inside("maud") as viewer:
        weighed(viewer, 0, "470", method="weighbridge")
        told, later = (
            standing.get_standing(viewer, TEASEL, now=NOW + timedelta(days=days))
            for days in (120, 121)
        )
    assert (told.weight_kg, told.weight_at) == (Decimal("470.0"), NOW)
    assert (later.weight_kg, later.weight_at) == (None, NOW)


def test_no_level_is_told_beyond_the_ends_of_its_scale(inside: Any) -> None:
    with inside("maud") as viewer:
        for place, score in enumerate(("4.5", "5", "5", "5", "5")):
            scored(viewer, 156 - 14 * place, score)
        card = standing.get_standing(viewer, TEASEL, now=NOW)
    found = asked(inside)
    assert max(each.high for each in found.smoothed) == 5.0
    assert all(0 <= each.low <= each.level <= each.high <= 5 for each in found.smoothed)
    assert card.overall is not None
    assert card.overall.level <= card.overall.high == 5.0


def test_what_was_only_seen_is_told_and_not_used(inside: Any, drifting: None) -> None:
    points = asked(inside).points
    assert [(each.value, each.used) for each in points] == [
        (Decimal("2.50"), True),
        (Decimal("2.50"), True),
        (Decimal("3.00"), True),
        (Decimal("3.00"), True),
        (Decimal("5.00"), False),
        (Decimal("3.50"), True),
    ]
    assert {each.by for each in points} == {"Maud Pell"}


def test_chance_and_forecast_are_of_the_band_today(inside: Any, drifting: None) -> None:
    found = asked(inside)
    assert found.above is not None
    assert found.forecast is not None
    assert found.above.limit == Decimal("3.0")
    with inside("maud"):
        held = Standing.objects.get(horse__ref=TEASEL)
        state = maths.State.of(held.score_filter)
    assert state is not None
    chance = outlook.chance_above(state, 3.0, NOW, model=maths.SCORE)
    assert found.above.probability == pytest.approx(chance)
    assert 0.5 < chance < 1
    assert found.below is not None
    below = outlook.chance_below(state, float(found.below.limit), NOW, model=maths.SCORE)
    assert found.below.probability == pytest.approx(below)
    assert found.below.limit < found.above.limit
    assert found.below.probability < 1 - chance
    assert (found.forecast.event, found.forecast.edge) == ("enters", "high")


def test_the_band_is_told_by_the_month_and_its_edges_hold_still(
    inside: Any, drifting: None
) -> None:
    band = asked(inside, since=NOW - timedelta(days=365)).band
    assert len(band) == 14
    assert {(each.low, each.high) for each in band} == {(band[0].low, band[0].high)}
    assert len({each.aim for each in band}) > 3
    assert all(each.low < each.aim < each.high for each in band)


def test_too_few_make_no_line(inside: Any) -> None:
    with inside("maud") as viewer:
        scored(viewer, 20, "3")
        scored(viewer, 0, "3")
    found = asked(inside)
    assert found.reason == "not_enough_readings"
    assert len(found.points) == 2
    assert (found.smoothed, found.rate, found.forecast) == ((), None, None)
    assert [each.lacking for each in found.baselines] == ["not_enough_readings"]


def test_nothing_at_all_is_an_answer(inside: Any) -> None:
    for measure in trend.MEASURES:
        found = asked(inside, measure=measure)
        assert (found.points, found.baselines, found.rate) == ((), (), None)
        assert found.reason == "not_enough_readings"


def test_a_weight_by_another_tape_begins_anew(inside: Any) -> None:
    with inside("isolde") as viewer:
        tapes = [
            Instrument.objects.create(
                organisation_id=viewer.organisation,
                ref=cast.ref(f"tape {n}"),
                kind="weigh_tape",
                label=f"Tape {n}",
                created_at=NOW,
                content_digest=b"0" * 32,
            )
            for n in (1, 2)
        ]
    with inside("maud") as viewer:
        for place in range(8):
            tape = tapes[place // 4]
            kg = 470 + 60 * (place // 4)
            own = {"method": "weigh_tape", "instrument": str(tape.ref)}
            weighed(viewer, 112 - 14 * place, str(kg), **own)
        weighed(viewer, 13, "300", method="estimate")
        held = Standing.objects.get(horse__ref=TEASEL)
        state = maths.State.of(held.weight_filter)
    found = asked(inside, measure="weight")
    assert [each.reason for each in found.baselines] == ["", "baseline_instrument"]
    assert {each.baseline for each in found.smoothed} == {0, 1}
    assert state is not None
    assert state.count == 5, "four by the second tape, one by eye"
    assert math.exp(state.level) == pytest.approx(525, abs=10)


def test_one_reading_with_both_tapes_joins_them(inside: Any) -> None:
    with inside("maud") as viewer:
        for days in (60, 45, 30):
            weighed(viewer, days, "470", method="weigh_tape")
        weighed(viewer, 29.9, "480", method="weighbridge")
        weighed(viewer, 10, "482", method="weighbridge")
    found = asked(inside, measure="weight")
    assert [each.reason for each in found.baselines] == [""]
    assert found.unit == "kg"
    assert found.percent is not None


def test_a_mare_that_foaled_begins_anew(inside: Any) -> None:
    with inside("isolde") as viewer:
        for days in (60, 50, 40, 20):
            weighed(viewer, days, "520" if days > 30 else "460", method="weighbridge")
        raw = {"kind": "foaled", "at": (NOW - timedelta(days=30)).isoformat()}
        events.record_event(viewer, TEASEL, raw, now=NOW)
        state = maths.State.of(Standing.objects.get(horse__ref=TEASEL).weight_filter)
    assert state is not None
    assert state.count == 1
    assert math.exp(state.level) == pytest.approx(460)
    found = asked(inside, measure="weight")
    assert [each.reason for each in found.baselines] == ["", "baseline_foaled"]


def test_girths_and_crests_have_lines_of_their_own(inside: Any) -> None:
    with inside("maud") as viewer:
        for days, girth in ((60, "180"), (40, "181"), (20, "182"), (0, "183")):
            own = {"formula": "carroll_huntington_1988", "method": "formula"}
            measures = {"girth_cm": girth, "length_cm": "160"}
            weighed(viewer, days, _formula(girth, "160"), measures=measures, **own)
            scored(viewer, days, "3", crest="2.5")
    girths = asked(inside, measure="heart_girth")
    assert [each.value for each in girths.points] == [Decimal(each) for each in range(180, 184)]
    assert girths.rate is not None
    assert girths.rate.value == pytest.approx(0.35, abs=0.1)
    crests = asked(inside, measure="crest")
    assert {each.value for each in crests.points} == {Decimal("2.5")}
    assert crests.band == ()


def _formula(girth: str, length: str) -> str:
    """Carroll and Huntington 1988."""
    return str(round(Decimal(girth) ** 2 * Decimal(length) / 11900, 1))


def test_a_period_the_wrong_way_round_is_refused(inside: Any) -> None:
    with pytest.raises(errors.Invalid) as refused:
        asked(inside, since=NOW, until=NOW - timedelta(days=1))
    assert [(each.field, each.key) for each in refused.value.errors] == [
        ("from", "period_the_wrong_way_round")
    ]
