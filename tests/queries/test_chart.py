"""What is drawn of a horse is what its trend says, with the readings and marks beside it."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from scoring.actions import assessments, vet_orders, weighings
from scoring.queries import chart, standing, trend
from scoring.rules import chart_window
from tests import cast, readings
from tests.conftest import as_somebody
from yards.actions import events, horses
from yards.rules import errors

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)
TEASEL = cast.ref("Teasel")
LONDON = "Europe/London"


def scored(viewer: Any, days: float, score: str, **facts: Any) -> Any:
    at = NOW - timedelta(days=days)
    raw = readings.raw("Teasel", at, score, score, score, **facts)
    return assessments.record_assessment(viewer, raw, now=at)


def weighed(viewer: Any, days: float, kg: str, **facts: Any) -> None:
    at = NOW - timedelta(days=days)
    raw = {"horse": str(TEASEL), "taken_at": at.isoformat(), "weight_kg": kg, **facts}
    weighings.record_weighing(viewer, raw, now=at)


def drawn(inside: Any, key: str = "1y", who: str = "isolde", **asked: Any) -> chart.Chart:
    with inside(who) as viewer:
        wanted = chart_window.Asked(key, **asked)
        return chart.get_chart(viewer, TEASEL, wanted, now=NOW, zone=LONDON)


def two_years() -> None:
    with as_somebody("maud") as viewer:
        for place in range(25):
            scored(viewer, 28.0 * (24 - place), "2.5" if place < 16 else "3.5")
        for place in range(8):
            weighed(viewer, 20.0 * (7 - place), str(430 + place), method="weighbridge")
        scored(viewer, 14, "5", manner="visual")


@pytest.mark.parametrize("key", ["3m", "1y", "2y", "all"])
@pytest.mark.built(by=two_years)
def test_what_is_drawn_is_what_the_trend_says_for_the_same_times(inside: Any, key: str) -> None:
    found = drawn(inside, key)
    window = found.window
    assert set(found.trends) == {trend.SCORE, trend.WEIGHT}
    for measure, card in found.trends.items():
        with inside("maud") as viewer:
            told = trend.get_trend(
                viewer, TEASEL, measure=measure, since=window.first, until=window.last, now=NOW
            )
        assert card == told
        assert card.points
        assert card.smoothed


@pytest.mark.built(by=two_years)
def test_the_line_goes_on_from_the_standing_by_its_rate_for_six_weeks(inside: Any) -> None:
    found = drawn(inside).trends[trend.SCORE]
    with inside("maud") as viewer:
        card = standing.get_standing(viewer, TEASEL, now=NOW)
    assert card.overall is not None
    assert card.rate_per_month is not None
    first, last = found.ahead[0], found.ahead[-1]
    assert (first.at, last.at) == (NOW, NOW + timedelta(weeks=6))
    told = [card.overall.level, card.overall.low, card.overall.high]
    assert list(first[1:]) == pytest.approx(told)
    gone = card.rate_per_month.value * 42 / (365.25 / 12)
    assert last.level - first.level == pytest.approx(gone)
    assert last.high - last.low > first.high - first.low


def test_too_few_readings_go_nowhere(inside: Any) -> None:
    with inside("maud") as viewer:
        scored(viewer, 5, "3")
    found = drawn(inside).trends[trend.SCORE]
    assert (found.ahead, found.smoothed) == ((), ())
    assert len(found.points) == 1


@pytest.mark.built(by=two_years)
def test_the_year_before_is_told_of_the_same_days(inside: Any) -> None:
    found = drawn(inside)
    since, until = found.season
    assert found.year_ago.points
    for point in found.year_ago.points:
        assert since <= point.at + chart.A_YEAR <= until
    ago = found.year_ago.smoothed[-1]
    assert abs(ago.at + chart.A_YEAR - until) <= timedelta(days=7)
    assert ago.level == pytest.approx(2.5, abs=0.3)


def test_what_was_put_right_is_kept_and_not_drawn(inside: Any) -> None:
    with inside("maud") as viewer:
        wrong = scored(viewer, 20, "5")
        at = NOW - timedelta(days=20)
        raw = {**readings.raw("Teasel", at, "3", "3", "3"), "reason": "Misread"}
        right = assessments.correct_assessment(viewer, wrong.id, raw, now=NOW)
    found = drawn(inside)
    assert [each.id for each in found.trends[trend.SCORE].points] == [right.id]
    assert [(each.id, each.over, each.used, each.corrects) for each in found.scores] == [
        (wrong.id, True, False, False),
        (right.id, False, True, True),
    ]


def test_girths_and_crest_are_drawn_only_where_there_are_any(inside: Any) -> None:
    with inside("maud") as viewer:
        scored(viewer, 20, "3", crest="2")
        measures = {"girth_cm": "181", "belly_girth_cm": "203"}
        weighed(viewer, 20, "440", method="weigh_tape", measures=measures)
    found = drawn(inside)
    others = {"heart_girth", "belly_girth", "crest"}
    assert set(found.trends) == {"score", "weight", *others}
    assert [each.value for each in found.trends["heart_girth"].points] == [Decimal(181)]
    assert found.weights[0].girths["belly_girth"] == Decimal(203)


def test_regions_are_as_used_with_the_pocket_in_them(inside: Any) -> None:
    with inside("maud") as viewer:
        scored(viewer, 20, "3", fat_pocket="marked")
    [only] = drawn(inside).scores
    assert only.felt["back_and_ribs"] == Decimal(3)
    assert only.regions["back_and_ribs"] == Decimal("3.5")


def test_marks_are_what_happened_in_the_window_in_order(inside: Any) -> None:
    with inside("keziah") as vet:
        until = (NOW + timedelta(days=60)).isoformat()
        raw = {"band": {"low": "2", "high": "3"}, "reason": "Lean down", "until": until}
        vet_orders.give_vet_order(vet, TEASEL, raw, now=NOW - timedelta(days=30))
    with inside("isolde") as viewer:
        for days, kind in ((40, "clipped"), (400, "wormed")):
            at = (NOW - timedelta(days=days)).isoformat()
            events.record_event(viewer, TEASEL, {"kind": kind, "at": at}, now=NOW)
        moved = {
            "yard": str(cast.ref("Sallow Field")),
            "at": (NOW - timedelta(days=35)).isoformat(),
        }
        horses.move_horse(viewer, TEASEL, moved, now=NOW)
        scored(viewer, 10, "3", danger_signs=["not_eating"])
    marks = drawn(inside).marks
    kinds = [(each.kind, each.key) for each in marks if each.key != "never_scored"]
    assert ("event", "clipped") in kinds
    assert ("move", "Sallow Field") in kinds
    assert ("order", "") in kinds
    assert ("alert", "danger_signs") in kinds
    assert ("event", "wormed") not in kinds
    assert [each.at for each in marks] == sorted(each.at for each in marks)
    assert ("event", "wormed") in {(each.kind, each.key) for each in drawn(inside, "2y").marks}


@pytest.mark.built(by=two_years)
def test_a_window_of_the_past_shows_nothing_later(inside: Any) -> None:
    until = (NOW - timedelta(days=100)).date()
    found = drawn(inside, until=until)
    for card in found.trends.values():
        times = [each.at for each in card.points] + [each.at for each in card.smoothed]
        assert times
        assert max(times) <= found.window.until


@pytest.mark.built(by=two_years)
def test_another_organisation_finds_nothing(inside: Any) -> None:
    with pytest.raises(errors.NotFound):
        drawn(inside, who="perran")
