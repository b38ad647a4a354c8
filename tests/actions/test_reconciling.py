"""What was left behind is found, mended, told once; what is as it should be is left alone."""

from datetime import timedelta
from typing import Any

import pytest

from scoring.actions import alerts, deliver, notices, reconciling, sweep, timers
from scoring.models import Alert, Notice, Timer
from tests import alarms
from tests.alarms import NOW, finding, raised
from yards.actions import letters
from yards.models import Letter

pytestmark = pytest.mark.usefixtures("no_standings")
URGENT = finding("emaciated", "urgent")
SOON = NOW + timedelta(minutes=5)


def found(now: Any = SOON) -> dict[str, int]:
    return reconciling.reconcile(now=now).counts()


def alarm(inside: Any, *findings: Any) -> Alert:
    with inside("maud") as viewer:
        # As every yard has that was made through its own door.
        sweep.ensure_sweep(viewer, alarms.yard("Top Barn"), NOW)
        Timer.objects.update(due_at=NOW + timedelta(days=1))
        return raised(viewer, "Teasel", *(findings or (URGENT,)))[0]


def steps() -> list[tuple[str, Any]]:
    return [each for each in alarms.running() if each[0] in ("escalate", "follow_up")]


def lose_the_timer() -> None:
    with alarms.as_system():
        Timer.objects.filter(alert__isnull=False).update(due_at=None)


def all_sent() -> None:
    with alarms.as_system():
        Notice.objects.update(state="sent", due_at=None)


def test_a_house_in_order_is_left_alone(inside: Any) -> None:
    alarm(inside)
    all_sent()
    with alarms.as_system():
        before = steps()
    assert found() == {"stranded": 0, "undelivered": 0, "mended": 0}
    with alarms.as_system():
        assert steps() == before


def test_an_alert_whose_next_step_is_lost_takes_it_when_it_was_due(inside: Any) -> None:
    alarm(inside)
    all_sent()
    with alarms.as_system():
        before = steps()
    [(_, rung)] = before
    lose_the_timer()
    assert found()["mended"] == 1
    with alarms.as_system():
        assert steps() == before
    assert found(rung - timedelta(minutes=1))["mended"] == 0


def test_a_step_that_was_lost_for_longer_is_taken_now_and_the_ladder_goes_on(inside: Any) -> None:
    alarm(inside)
    all_sent()
    with alarms.as_system():
        [(_, rung)] = steps()
    lose_the_timer()
    late = rung + timedelta(minutes=5)
    assert found(late)["mended"] == 1
    assert timers.run_due(now=late) >= 1
    with alarms.as_system():
        assert Notice.objects.filter(kind=notices.ESCALATION, due_at=late).exists()
        assert Alert.objects.get().escalated_at == late
        assert [kind for kind, _ in steps()] == ["escalate"]
    all_sent()
    assert found(late + timedelta(minutes=5))["mended"] == 0


def test_a_promise_whose_follow_up_is_lost_is_still_followed_up(inside: Any) -> None:
    ref = alarm(inside).ref
    by = NOW + timedelta(hours=1)
    with inside("isolde") as viewer:
        step = {"next_step": "The vet comes.", "by": by.isoformat()}
        alerts.acknowledge(viewer, ref, step, now=NOW)
    all_sent()
    lose_the_timer()
    assert found()["mended"] == 1
    with alarms.as_system():
        assert steps() == [("follow_up", by)]


def test_what_a_clock_that_ran_ahead_put_off_is_brought_back(inside: Any) -> None:
    alarm(inside)
    ahead = NOW + timedelta(hours=1)
    with alarms.as_system():
        Notice.objects.update(state="attempting", attempted_at=ahead, due_at=ahead + deliver.LEASE)
        Timer.objects.filter(kind="escalate").update(
            created_at=ahead, due_at=ahead + timedelta(minutes=30)
        )
        messages, rungs = Notice.objects.count(), len(steps())
    assert found(NOW + timedelta(minutes=1))["mended"] == messages + rungs
    with alarms.as_system():
        assert set(Notice.objects.values_list("due_at")) == {(NOW + timedelta(minutes=1),)}
        assert steps() == [("escalate", NOW + timedelta(minutes=31))] * rungs
    # Once: the next look finds it as it should be.
    with alarms.as_system():
        Notice.objects.update(state="sent", due_at=None)
    assert found(NOW + timedelta(minutes=2))["mended"] == 0


@pytest.mark.parametrize(
    "facts",
    [
        {},
        {"state": "attempting", "attempts": 9, "due_at": SOON + timedelta(hours=1)},
        {"state": "failed", "attempts": 50, "due_at": None},
    ],
)
def test_a_message_that_waits_too_long_is_told(inside: Any, facts: dict[str, Any]) -> None:
    alarm(inside)
    with alarms.as_system():
        Notice.objects.update(**facts)
        count = Notice.objects.count()
    assert count
    assert found()["undelivered"] == count
    all_sent()
    assert found()["undelivered"] == 0


def test_a_letter_about_signing_in_that_waits_too_long_is_told(inside: Any) -> None:
    """It belongs to no organisation, and may wait where none has anything to wait for."""
    waits = timedelta(minutes=2)
    letters.of_new_password("maud@example.org", now=NOW)
    assert [found(NOW + each)["undelivered"] for each in (waits / 2, waits)] == [0, 1]
    # Tried in vain: due later each time, and waiting all the same.
    Letter.objects.update(due_at=NOW + timedelta(hours=1), attempts=7)
    assert found()["undelivered"] == 1
    # By a clock that ran a day ahead: due now, as if it were made now.
    Letter.objects.update(due_at=NOW + timedelta(days=1), created_at=NOW + timedelta(days=1))
    assert [found()["mended"], Letter.objects.get().due_at, found()["mended"]] == [1, SOON, 0]
    Letter.objects.all().delete()
    assert found()["undelivered"] == 0


def test_a_message_that_waits_for_the_morning_is_no_trouble(inside: Any) -> None:
    alarm(inside, finding())
    with alarms.as_system():
        Notice.objects.update(due_at=SOON + timedelta(hours=8))
    assert found()["undelivered"] == 0


def test_one_organisation_that_cannot_be_looked_through_hides_no_other(
    inside: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    alarm(inside)
    all_sent()

    def broken(*_: Any) -> list[Alert]:
        raise RuntimeError("no")

    monkeypatch.setattr(reconciling, "_stranded", broken)
    assert found()["stranded"] >= 1


def test_a_promise_that_was_kept_waits_for_nobody(inside: Any) -> None:
    """Somebody was with the horse: it stays acknowledged, and no step is missing."""
    ref = alarm(inside).ref
    by = NOW + timedelta(hours=1)
    with inside("isolde") as viewer:
        step = {"next_step": "The vet comes.", "by": by.isoformat()}
        alerts.acknowledge(viewer, ref, step, now=NOW)
        alarms.scored("Teasel", 2, 2, 2, at=NOW + timedelta(minutes=30))
    timers.run_due(now=by)
    all_sent()
    with alarms.as_system():
        assert steps() == []
    assert found(by + timedelta(minutes=5))["mended"] == 0
