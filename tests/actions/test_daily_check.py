"""A horse scored emaciated is looked at every day: who did is counted, who did not is told."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from scoring.actions import assessments, concerns, deliver, sweep, timers
from scoring.models import Alert, Notice, Standing
from tests import cast, mailbox, readings
from tests.alarms import SYSTEM, as_system, yard
from yards.actions import events
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL = cast.ref("Teasel")
DAY, HOUR = timedelta(days=1), timedelta(hours=1)
# 10:00 in Top Barn; its sweep is at 06:00, which is 05:00 UTC.
FELT = datetime(2026, 4, 12, 9, 0, tzinfo=UTC)
SIX = datetime(2026, 4, 13, 5, 0, tzinfo=UTC)


@pytest.fixture
def emaciated(inside: Inside) -> None:
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", FELT, "1", "1", "1")
        raw["weighing"] = {"method": "estimate", "weight_kg": "300"}
        assessments.record_assessment(viewer, raw, now=FELT)
        assert standing().check_due_at == FELT + DAY


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def standing() -> Standing:
    return Standing.objects.get(horse__ref=TEASEL)


def looked(viewer: Viewer, at: datetime) -> None:
    event(viewer, "looked_in_on", at)


def vet_came(viewer: Viewer, at: datetime) -> None:
    event(viewer, "vet_visited", at)


def event(viewer: Viewer, kind: str, at: datetime) -> None:
    raw = {"kind": kind, "at": at.isoformat()}
    events.record_event(viewer, TEASEL, raw, now=at)


def worried(viewer: Viewer, at: datetime) -> None:
    raw = {"seen_at": at.isoformat(), "note": "Stood apart from the others."}
    concerns.record_concern(viewer, TEASEL, raw, now=at)


def swept(at: datetime) -> None:
    with as_system():
        sweep.ensure_sweep(SYSTEM, yard("Top Barn"), at)
    timers.run_due(now=at)


@pytest.mark.parametrize("look", [looked, vet_came, worried])
def test_a_recorded_look_is_the_days_look(
    inside: Inside, emaciated: None, look: Callable[[Viewer, datetime], None]
) -> None:
    swept(SIX + DAY)
    with inside("maud") as viewer:
        [late] = Alert.objects.filter(rule="overdue", horse__ref=TEASEL)
        assert late.said["reason"][1]["what"] == "check"
        assert (late.severity, late.said["advice"][0]) == ("act", "look_now")
        at = SIX + DAY + 3 * HOUR
        look(viewer, at)
        assert standing().check_due_at == at + DAY
        late.refresh_from_db()
        assert late.state == "resolved"
        assert Alert.objects.get(rule="emaciated").state == "open", "that one is the vet's to end"


def test_a_missed_look_is_told_in_the_morning_and_not_as_springs(
    emaciated: None, box: mailbox.Mailbox
) -> None:
    swept(SIX + DAY)
    timers.run_due(now=SIX + DAY + HOUR)
    deliver.deliver_due(now=SIX + DAY + 3 * HOUR)
    texts = [mailbox.text_of(each) for each in box.taken]
    told = [text for text in texts if "Look at it now" in text]
    assert len(told) == 1
    assert not any("It is spring in this yard now" in text for text in texts)


@pytest.mark.parametrize("kind", ["clipped", "vet_phoned"])
def test_what_needs_nobody_there_is_no_look(inside: Inside, emaciated: None, kind: str) -> None:
    with inside("maud") as viewer:
        event(viewer, kind, FELT + 20 * HOUR)
        assert standing().check_due_at == FELT + DAY


def test_an_earlier_look_recorded_late_takes_nothing_back(inside: Inside, emaciated: None) -> None:
    with inside("maud") as viewer:
        looked(viewer, FELT + 20 * HOUR)
        raw: dict[str, Any] = {"kind": "looked_in_on", "at": (FELT - HOUR).isoformat()}
        events.record_event(viewer, TEASEL, raw, now=FELT + 21 * HOUR)
        assert standing().check_due_at == FELT + 44 * HOUR


def test_who_did_not_look_is_told_again_each_day(inside: Inside, emaciated: None) -> None:
    told = []
    for day in range(4):
        swept(SIX + day * DAY)
        with inside("isolde"):
            mine = Notice.objects.filter(kind="reminder", person_id=cast.ref("isolde"))
            told.append(mine.count())
            marks = standing().reminded_due
            assert [each for each in marks if each.startswith("check:")] == [
                f"check:{(SIX + day * DAY).date()}:{'overdue' if day else 'due'}"
            ]
    assert told == [1, 2, 3, 4]
