"""What waited for a lock sees the world as it is after the wait, and no two wait for each other."""

import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import AbstractContextManager, contextmanager
from datetime import timedelta
from typing import Any

import psycopg
import pytest
from django.db import connections

from scoring.actions import assessments, concerns, subjects, sweep, timers
from scoring.models import Alert, Assessment, Standing, Timer
from tests import alarms, cast, readings
from tests.actions.record import refused
from tests.alarms import NOW
from tests.conftest import viewer_of
from yards import isolation
from yards.actions import events, horses
from yards.actions import yards as yard_actions
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL = cast.ref("Teasel")
HOUR = timedelta(hours=1)


@pytest.fixture
def waiting(environment: dict[str, str]) -> Iterator[Callable[[int], None]]:
    """Return a call that comes back when so many sessions wait for a lock."""
    asked = (
        "SELECT count(DISTINCT pid) FROM pg_locks WHERE NOT granted AND pid IN"
        " (SELECT pid FROM pg_stat_activity WHERE datname = current_database())"
    )
    with psycopg.connect(environment["DATABASE_OWNER_URL"], autocommit=True) as owner:

        def until(sessions: int) -> None:
            end = time.monotonic() + 10
            while owner.execute(asked).fetchone() != (sessions,):
                assert time.monotonic() < end, f"{sessions} sessions should wait by now"
                time.sleep(0.02)

        yield until


@contextmanager
def apart() -> Iterator[Callable[[Callable[[], Any]], Future[Any]]]:
    """Do things in threads, each with connections of its own."""

    def closing(work: Callable[[], Any]) -> Any:
        try:
            return work()
        finally:
            connections.close_all()

    with ThreadPoolExecutor(4) as pool:
        yield lambda work: pool.submit(closing, work)


def scored(raw: dict[str, Any]) -> Callable[[], object]:
    def work() -> object:
        viewer = viewer_of("maud")
        with isolation.of(viewer):
            return assessments.record_assessment(viewer, raw, now=NOW)

    return work


def died(viewer: Viewer) -> None:
    raw = {"kind": "died", "at": (NOW - HOUR).isoformat()}
    events.record_event(viewer, TEASEL, raw, now=NOW)


def test_a_reading_that_waited_behind_a_move_stands_in_the_new_yard(
    inside: Inside, waiting: Callable[[int], None]
) -> None:
    fat = readings.raw("Teasel", NOW, "4.5", "4.5", "4.5")
    with apart() as start:
        with inside("isolde") as viewer:
            away = {"yard": str(cast.ref("Sallow Field")), "at": (NOW - HOUR).isoformat()}
            horses.move_horse(viewer, TEASEL, away, now=NOW)
            late = start(scored(fat))
            waiting(1)
        late.result(30)
    with inside("isolde"):
        assert Standing.objects.get(horse__ref=TEASEL).yard.name == "Sallow Field"
        assert Assessment.objects.get().yard.name == "Sallow Field"
        assert Alert.objects.get(rule="fat_in_spring").yard.name == "Sallow Field"


def test_a_reading_that_waited_behind_a_death_is_judged_by_it(
    inside: Inside, waiting: Callable[[int], None]
) -> None:
    thin = readings.raw("Teasel", NOW, "0.5", "0.5", "0.5")
    before = {**thin, "taken_at": (NOW - 2 * HOUR).isoformat()}
    sign = {"seen_at": NOW.isoformat(), "danger_signs": ["cannot_rise"]}

    def worried() -> object:
        viewer = viewer_of("maud")
        with isolation.of(viewer):
            return concerns.record_concern(viewer, TEASEL, sign, now=NOW)

    with apart() as start:
        with inside("isolde") as viewer:
            died(viewer)
            after, earlier, seen = start(scored(thin)), start(scored(before)), start(worried)
            waiting(3)
        assert refused(after.result) == (errors.Invalid, [("taken_at", "after_death")])
        assert refused(seen.result) == (errors.Invalid, [("seen_at", "after_death")])
        assert earlier.result(30).alerts == ()
    with inside("isolde"):
        assert Assessment.objects.count() == 1
        assert not Alert.objects.exists()


def swept() -> int:
    return timers.run_due(now=NOW)


def test_a_sweep_that_waited_behind_a_death_opens_nothing_on_the_dead(
    inside: Inside, waiting: Callable[[int], None]
) -> None:
    with inside("isolde"):
        alarms.scored("Teasel", 9, 9, 9, at=NOW - 24 * HOUR)
        Timer.objects.filter(kind="sweep").update(due_at=None)
    make_due("Top Barn")
    with apart() as start:
        with inside("isolde") as viewer:
            died(viewer)
            late = start(swept)
            waiting(1)
        late.result(30)
    with inside("isolde"):
        assert not Alert.objects.filter(horse__ref=TEASEL).exists()
        assert Alert.objects.exists(), "the others were looked at"


def make_due(name: str) -> None:
    with alarms.as_system():
        sweep.ensure_sweep(alarms.SYSTEM, alarms.yard(name), NOW)


def test_a_changed_yard_and_its_sweep_never_wait_for_each_other(
    inside: Inside, waiting: Callable[[int], None], caplog: pytest.LogCaptureFixture
) -> None:
    """A third holds the yard's last horse, so that both are under way at once."""
    make_due("Top Barn")
    later = NOW + HOUR

    def changed() -> object:
        viewer = viewer_of("isolde")
        raw = {"spring": {"first": "02-15", "last": "04-30"}, "version": 1}
        with isolation.of(viewer):
            return yard_actions.change_yard(viewer, cast.ref("Top Barn"), raw, now=later)

    with apart() as start:
        with inside("isolde"):
            subjects.locked(alarms.horse("Sorrel Lad"))
            change = start(changed)
            waiting(1)
            looking = start(swept)
            time.sleep(1)  # if it waits, then for what the change holds
        change.result(30)
        looking.result(30)
    assert "a timer failed" not in caplog.text
    with inside("isolde"):
        held = Timer.objects.get(kind="sweep", yard__name="Top Barn")
        assert (held.due_at, held.attempts) == (later, 0)
