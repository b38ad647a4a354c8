"""A preview against what really happened: the same readings, through the real actions."""

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.actions import assessments, rule_exceptions, sweep, weighings
from scoring.models import Alert, Timer
from scoring.queries import replaying
from tests import alarms, cast, readings
from tests.actions.record import refused
from yards.models import Yard
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
DAY = timedelta(days=1)
# 10:00 in Top Barn, a Monday in September.
NOW = datetime(2026, 9, 14, 9, tzinfo=UTC)
# 06:00 in London when spring begins, and when it is over.
TURNS = (datetime(2026, 3, 1, 6, tzinfo=UTC), datetime(2026, 6, 1, 5, tzinfo=UTC))
# (days ago, score, kilograms): fat in spring twice, thinner between and after.
YEAR = (
    *((320, "3", "310"), (290, "3.5", "315"), (200, "4", "330"), (180, "4", "331")),
    *(
        (160, "3", "318"),
        (140, "4.5", "340"),
        (100, "3.5", "320"),
        (60, "1", "250"),
        (10, "3", "300"),
    ),
)


def live(viewer: Viewer, horse: str, days: Sequence[tuple[int, str, str]] = YEAR) -> None:
    """Record a horse's year, each reading at its own time."""
    for ago, score, kg in days:
        at = NOW - ago * DAY
        raw = readings.raw(horse, at, score, score, score)
        raw["weighing"] = {"method": "estimate", "weight_kg": kg}
        assessments.record_assessment(viewer, raw, now=at)


def swept(at: datetime) -> None:
    """Let each yard's morning come, as the worker does."""
    for yard in Yard.objects.all():
        sweep.ensure_sweep(alarms.SYSTEM, yard, at)
        sweep.run(alarms.SYSTEM, Timer.objects.get(kind="sweep", yard=yard), at)


def five(value: str) -> dict[str, Any]:
    return {"thresholds": {"five": {"overall": value}}}


@pytest.mark.parametrize("rule", ["fat_in_spring", "fat", "losing_fast", "thin", "above_band"])
def test_today_s_count_is_what_the_actions_opened(inside: Inside, rule: str) -> None:
    with inside("isolde") as viewer:
        lives = (("Teasel", YEAR), ("Tansy", YEAR[2:]))
        steps = [(NOW - day[0] * DAY, horse, (day,)) for horse, days in lives for day in days]
        for at, horse, days in sorted([*steps, *((at, "", ()) for at in TURNS)]):
            if days:
                live(viewer, horse, days)
            else:
                swept(at)
        found = replaying.preview(viewer, rule, {"on": False}, now=NOW)
        opened = Alert.objects.filter(rule=rule, opened_at__gt=NOW - replaying.YEAR)
        assert found.today.alerts == opened.count()
        assert found.today.horses == opened.values("horse").distinct().count()
        assert found.proposed == replaying.Count(0, 0, 0)


def test_a_higher_threshold_tells_of_fewer_and_says_of_which_no_longer(inside: Inside) -> None:
    with inside("isolde") as viewer:
        live(viewer, "Teasel")
        live(viewer, "Tansy", YEAR[:4])
        found = replaying.preview(viewer, "fat_in_spring", five("4.5"), now=NOW)
        assert found.today == replaying.Count(3, 2, 3)
        assert found.proposed == replaying.Count(1, 1, 1)
        assert [name for _, name in found.fewer] == ["Tansy"]
        assert found.more == []
        assert found.still == {cast.ref("Tansy"): ["fat"]}, "the lesser rule speaks then"
        assert {each.rule for each in found.beside} >= {"fat"}
        assert found.counted == found.of > 2
        lower = replaying.preview(viewer, "fat_in_spring", five("3.5"), now=NOW)
        assert lower.proposed.alerts >= lower.today.alerts


def test_it_is_asked_of_one_horse_or_yard_too_and_changes_nothing(inside: Inside) -> None:
    with inside("isolde") as viewer:
        live(viewer, "Teasel")
        before = Alert.objects.count()
        one = {**five("4.5"), "horse": str(cast.ref("Teasel"))}
        assert replaying.preview(viewer, "fat_in_spring", one, now=NOW).of == 1
        yard = {**five("4.5"), "yard": str(cast.ref("Sallow Field"))}
        assert replaying.preview(viewer, "fat_in_spring", yard, now=NOW).today.alerts == 0
        assert Alert.objects.count() == before


@pytest.mark.parametrize("rule", ["fat_in_spring", "losing_weight"])
def test_the_cost_does_not_grow_with_horses_or_readings(inside: Inside, rule: str) -> None:
    counts = []
    with inside("isolde") as viewer:
        for horse in ("Teasel", "Tansy", "Sorrel Lad"):
            live(viewer, horse)
            with CaptureQueriesContext(connection) as seen:
                replaying.preview(viewer, rule, {"on": False}, now=NOW)
            counts.append(len(seen))
    assert len(set(counts)) == 1
    assert counts[0] <= 14


def test_more_readings_than_can_be_counted_are_told_so(
    inside: Inside, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(replaying, "MOST_READINGS", 10)
    with inside("isolde") as viewer:
        live(viewer, "Teasel", YEAR[:3])
        live(viewer, "Tansy")
        found = replaying.preview(viewer, "fat_in_spring", five("4.5"), now=NOW)
        assert found.counted < found.of
        assert found.today.horses == 1, "the horse that was read last"


def test_exceptions_and_weights_of_long_ago_do_not_bend_it(inside: Inside) -> None:
    with inside("isolde") as viewer:
        live(viewer, "Teasel")
        plain = replaying.preview(viewer, "fat_in_spring", five("4.5"), now=NOW)
        raw = {"rule": "fat_in_spring", "horse": str(cast.ref("Teasel")), "on": False}
        until = {"until": (NOW + DAY).isoformat(), "reason": "A trial"}
        rule_exceptions.give(viewer, {**raw, **until}, now=NOW)
        old = {"horse": raw["horse"], "method": "estimate", "weight_kg": "900"}
        old["taken_at"] = (NOW - 900 * DAY).isoformat()
        weighings.record_weighing(viewer, old, now=NOW)
        assert replaying.preview(viewer, "fat_in_spring", five("4.5"), now=NOW) == plain


def test_a_vet_may_ask_of_a_horse_only(inside: Inside) -> None:
    with inside("keziah") as viewer:
        one = {"on": False, "horse": str(cast.ref("Teasel"))}
        assert replaying.preview(viewer, "fat", one, now=NOW).of == 1
        assert refused(lambda: replaying.preview(viewer, "fat", {"on": False}, now=NOW))[0] is (
            errors.NotAllowed
        )
