"""What late, partial and unsaid readings, neglect and old answers must not hide from people."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Any

import pytest

from scoring.actions import alerts, assessments, weighings
from scoring.models import Alert, Notice, Standing
from tests import cast, readings
from tests.actions.test_risk_alerts import (
    DAY,
    NOW,
    WEEK,
    donkey,
    ended,
    held,
    scored,
    swept,
    weighed,
)
from yards.actions import horses
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]


def late(viewer: Viewer, taken: datetime, now: datetime, *scores: str | None, **told: Any) -> None:
    raw = readings.raw("Teasel", taken, *scores, **told)
    assessments.record_assessment(viewer, raw, now=now)


@pytest.mark.parametrize("manner", ["visual", "palpated"])
def test_an_emaciated_reading_that_comes_late_is_told(inside: Inside, manner: str) -> None:
    """The phone syncs after another person's look."""
    with inside("tobias") as viewer:
        scored(viewer, "Teasel", NOW, "2.5", "2.5", "2.5", manner=manner)
        assert "emaciated" not in held("Teasel")
    with inside("maud") as viewer:
        late(viewer, NOW - DAY, NOW + DAY, "0.5", "0.5", "0.5")
        assert held("Teasel")["emaciated"] == "urgent"
        assert Notice.objects.filter(kind="alert").exists()


def test_a_felt_region_without_fat_keeps_its_daily_look_under_a_glance(inside: Inside) -> None:
    with inside("maud") as viewer:
        part = {"not_safe": ["neck_and_shoulder", "hindquarters"]}
        scored(viewer, "Teasel", NOW, None, "0.5", None, **part)
        scored(viewer, "Teasel", NOW + DAY, "2.5", "2.5", "2.5", manner="visual")
        standing = Standing.objects.get(horse__ref=cast.ref("Teasel"))
        assert standing.check_due_at == NOW + 2 * DAY
    swept("Top Barn", NOW + 4 * DAY)
    with inside("maud"):
        assert held("Teasel")["overdue"] == "act"
        assert held("Teasel")["emaciated"] == "urgent"


def test_what_an_animal_lost_is_not_forgotten_because_nobody_weighs_it(inside: Inside) -> None:
    with inside("isolde") as viewer:
        weighed(viewer, "Marram", NOW, 500)
        weighed(viewer, "Marram", NOW + 40 * DAY, 400)
        assert held("Marram")["losing_fast"] == "act"
    for days in (120, 126, 300):
        swept("Nether Paddocks", NOW + days * DAY)
    with inside("isolde") as viewer:
        assert held("Marram")["losing_fast"] == "act"
        guess = {"horse": str(cast.ref("Marram")), "method": "estimate", "weight_kg": "490"}
        at = NOW + 301 * DAY
        weighings.record_weighing(viewer, {**guess, "taken_at": at.isoformat()}, now=at)
        assert held("Marram")["losing_fast"] == "act"
        weighed(viewer, "Marram", NOW + 365 * DAY, 490)
        assert held("Marram")["losing_fast"] == "act"
        weighed(viewer, "Marram", NOW + 380 * DAY, 492)
        assert "losing_fast" not in held("Marram")
        assert ended("Marram", "losing_fast") == "reading"


def test_a_donkey_s_empty_plate_is_told_over_a_later_reading_that_does_not_say(
    inside: Inside,
) -> None:
    with inside("maud") as viewer:
        donkey(viewer, NOW, "3")
        raw = {"horse": str(cast.ref("Wagtail")), "scale": "donkey", "manner": "palpated"}
        at = (NOW - DAY).isoformat()
        eaten = {**raw, "taken_at": at, "overall": "3", "appetite": "none"}
        assessments.record_assessment(viewer, eaten, now=NOW + DAY)
        assert held("Wagtail")["off_feed"] == "urgent"


def answer(viewer: Viewer, rule: str, now: datetime) -> None:
    alert = Alert.objects.exclude(state="resolved").get(rule=rule)
    alerts.resolve(viewer, alert.ref, {"reason": "Looked at."}, now=now)


def test_a_moved_donkey_is_watched_on_when_its_appetite_was_answered(inside: Inside) -> None:
    with inside("isolde") as viewer:
        donkey(viewer, NOW, "3")
        to = {"yard": str(cast.ref("Top Barn")), "at": (NOW + DAY).isoformat()}
        horses.move_horse(viewer, cast.ref("Wagtail"), to, now=NOW + DAY)
        donkey(viewer, NOW + 2 * DAY, "3", appetite="some")
        assert held("Wagtail") == {"off_feed": "urgent"}
        answer(viewer, "off_feed", NOW + 3 * DAY)
        donkey(viewer, NOW + 4 * DAY, "3", appetite="all")
        assert held("Wagtail") == {"hyperlipaemia_watch": "watch"}


def test_laminitis_that_is_recorded_afterwards_opens_what_was_answered(inside: Inside) -> None:
    with inside("isolde") as viewer:
        scored(viewer, "Teasel", NOW, "4", "4.5", "4")
        answer(viewer, "fat", NOW + DAY)
        change = {"version": 1, "use": "leisure"}
        horses.change_horse(viewer, cast.ref("Teasel"), change, now=NOW + 2 * DAY)
        assert held("Teasel") == {}
        change = {"version": 2, "laminitis": "past"}
        horses.change_horse(viewer, cast.ref("Teasel"), change, now=NOW + WEEK)
        assert held("Teasel") == {"fat": "act"}
        answer(viewer, "fat", NOW + WEEK)
        change = {"version": 3, "use": "companion"}
        horses.change_horse(viewer, cast.ref("Teasel"), change, now=NOW + 2 * WEEK)
        assert held("Teasel") == {}
