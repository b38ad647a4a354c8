"""What one reading costs, and that its answer from the rows in hand is what the database holds."""

import re
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.actions import assessments, weighings
from scoring.models import Standing
from scoring.queries import assessments as queries
from scoring.queries import habits
from scoring.queries import weighings as weighing_queries
from tests import cast, conftest, readings
from tests.conftest import viewer_of
from tests.outside import EXACT, outside
from yards import isolation
from yards.actions import horses
from yards.models import Yard
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
AUTUMN = datetime(2025, 11, 2, 8, 40, tzinfo=UTC)
# 16 with an id of ours: one of them for how the horse was weighed before, one for what by, one for
# how the organisation set its rules. The client's own id is looked up first.
MOST = 17


def test_a_reading_costs_as_many_queries_after_forty_as_after_two(inside: Inside) -> None:
    counts = {}
    with inside("maud") as viewer:
        for day in range(1, 41):
            at = AUTUMN + timedelta(days=day)
            raw = readings.raw("Teasel", at, "2.5", "3", "2.5", id=str(uuid_utils.uuid7()))
            raw["weighing"] = {"method": "weigh_tape", "weight_kg": "300"}
            with CaptureQueriesContext(connection) as seen:
                assessments.record_assessment(viewer, raw, now=at)
            counts[day] = len(seen)
    assert counts[3] == counts[40] <= MOST


def test_earlier_weights_are_found_by_the_animal_also_before_the_tables_were_counted(
    inside: Inside,
) -> None:
    """Else each weighing of a new organisation reads all that were weighed before it."""
    since = AUTUMN - timedelta(days=90)
    asked: dict[str, Any] = {"horse": 1, "until": AUTUMN, "since": since, "without": 0, "most": 7}
    with inside("maud"), connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN {habits.EARLIER}", asked)
        plan = "".join(line.strip() for (line,) in cursor.fetchall())
    scans = re.findall(r'on scoring_weighing "?row.*?Index Cond: (.*?)Filter', plan)
    assert len(scans) == 1, plan
    assert "horse_id =" in scans[0], plan


@pytest.mark.parametrize("score", ["2.5", "4.5"])
def test_the_first_answer_is_word_for_word_what_is_read_again(inside: Inside, score: str) -> None:
    spring = datetime(2026, 4, 12, 8, 40, 0, 250, tzinfo=UTC)
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", spring, score, score, score, fat_pocket="slight", note="Calm.")
        raw["weighing"] = {
            "method": "formula",
            "weight_kg": "284.5",
            "formula": "carroll_huntington_1988",
            "measures": {"length_cm": "140", "girth_cm": "155.5"},
        }
        answer = assessments.record_assessment(viewer, raw, now=spring)
        assert bool(answer.alerts) == (score == "4.5")
        assert repr(answer) == repr(queries.get_assessment(viewer, answer.id))
        plain = {"horse": raw["horse"], "taken_at": raw["taken_at"], "method": "estimate"}
        weight = weighings.record_weighing(viewer, {**plain, "weight_kg": "299.5"}, now=spring)
        assert repr(weight) == repr(weighing_queries.get_weighing(viewer, weight.id))


@outside(
    "a row that was waited for is read anew, what is joined to it is not",
    source="PostgreSQL manual, 13.2.1",
    status=EXACT,
)
def test_a_reading_that_waited_for_a_move_stands_in_the_new_yard(database: str) -> None:
    """PostgreSQL's manual, 13.2.1: a row waited for is read anew, but not what is joined to it."""
    field, at = cast.ref("Sallow Field"), datetime(2026, 4, 12, 8, 40, tzinfo=UTC)

    def score() -> None:
        try:
            viewer = viewer_of("isolde")
            with isolation.of(viewer):
                raw = readings.raw("Teasel", at, "2.5", "3", "2.5")
                assessments.record_assessment(viewer, raw, now=at)
        finally:
            connection.close()

    mover = viewer_of("isolde")
    with ThreadPoolExecutor(1) as pool:
        with isolation.of(mover):
            raw = {"yard": str(field), "at": (at - timedelta(hours=1)).isoformat()}
            horses.move_horse(mover, cast.ref("Teasel"), raw, now=at)
            scored = pool.submit(score)
            _until_somebody_waits(database)
        scored.result(20)
    with isolation.of(mover):
        held = Standing.objects.select_related("last_assessment").get(horse__name="Teasel")
        assert held.last_assessment is not None
        assert held.yard_id == held.last_assessment.yard_id == Yard.objects.get(ref=field).id


def _until_somebody_waits(database: str) -> None:
    end = time.monotonic() + 20
    with conftest._owner(database) as owner:
        while not owner.execute("SELECT 1 FROM pg_locks WHERE NOT granted").fetchone():
            assert time.monotonic() < end
            time.sleep(0.02)
