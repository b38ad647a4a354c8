"""What is due is done once: escalations, follow-ups, ends of snoozes; a failure holds up nobody."""

import threading
from collections.abc import Iterator
from datetime import datetime, time, timedelta
from typing import Any

import pytest
from django.db import DatabaseError, connections

from scoring.actions import alerts, deliver, timers
from scoring.models import Alert, Notice, Standing, Timer
from scoring.rules import ladder
from tests import alarms, mailbox
from tests.alarms import NOW, entries, finding, raised, running
from yards import isolation
from yards.models import Yard

pytestmark = pytest.mark.usefixtures("no_standings")

STEP = {"next_step": "Ferrow Vets visit"}
HOUR = timedelta(hours=1)


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def escalates_at(severity: str = "act") -> datetime:
    return NOW + ladder.ESCALATE_AFTER[severity]


def test_nobody_answers_so_all_are_told_to_call_the_vet(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
    at = escalates_at()
    assert timers.run_due(now=at - timedelta(seconds=1)) == 0
    assert timers.run_due(now=at) == 1
    assert timers.run_due(now=at) == 0
    with inside("isolde"):
        alert = Alert.objects.get()
        assert (alert.step, alert.escalated_at, alert.state) == (1, at, "open")
        assert (alert.exhausted_at, alert.next_at) == (None, at + alarms.EVERY["act"])
        assert running() == [("escalate", at + alarms.EVERY["act"])]
        assert alarms.told() == {
            ("alert", "isolde"),
            ("escalation", "isolde"),
            ("escalation", "keziah"),
        }
        assert [actor for _, actor, _ in entries("alert.escalated")] == ["system"]
    deliver.deliver_due(now=at)
    [message] = box.to("keziah@example.org")
    assert message["Subject"].startswith("Call the vet: Teasel, Top Barn")
    text = mailbox.text_of(message)
    assert text.startswith("CALL THE VET NOW.")
    for number in ("01632 960118", "01632 960144", "01632 960171"):
        assert number in text
        assert f'href="tel:{number.replace(" ", "")}"' in mailbox.text_of(message, "html")


def test_an_answered_alert_does_not_escalate(inside: Any) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        alerts.acknowledge(viewer, alert.ref, STEP, now=NOW + HOUR)
    timers.run_due(now=escalates_at())
    with inside("isolde"):
        assert alarms.told() == {("alert", "isolde")}


def test_an_escalation_that_has_not_gone_yet_is_called_off_by_an_answer(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
    timers.run_due(now=escalates_at())
    with inside("maud") as viewer:
        alerts.acknowledge(viewer, alert.ref, STEP, now=escalates_at())
    deliver.deliver_due(now=escalates_at())
    assert [message["Subject"].split(":")[0] for message in box.taken] == ["Today"]


def test_ten_schedulers_at_once_escalate_once(inside: Any) -> None:
    with inside("maud") as viewer:
        for name in ("Teasel", "Tansy"):
            raised(viewer, name, finding("danger_signs", "urgent"))
    start = threading.Barrier(10)

    def work() -> None:
        start.wait()
        try:
            timers.run_due(now=escalates_at("urgent"))
        finally:
            connections.close_all()

    workers = [threading.Thread(target=work) for _ in range(10)]
    for each in workers:
        each.start()
    for each in workers:
        each.join()
    with inside("isolde"):
        assert list(Alert.objects.values_list("step", "version")) == [(1, 2), (1, 2)]
        assert Notice.objects.filter(kind="escalation").count() == 4
        assert len(entries("alert.escalated")) == 2
        again = escalates_at("urgent") + alarms.EVERY["urgent"]
        assert running() == [("escalate", again)] * 2


def test_answers_readings_and_timers_at_once_never_cross(
    inside: Any, caplog: pytest.LogCaptureFixture
) -> None:
    names = ["Teasel", "Sorrel Lad", "Tansy", "Wagtail"]
    with inside("maud") as viewer:
        found = [raised(viewer, name, finding("danger_signs", "urgent"))[0] for name in names]
    at = escalates_at("urgent")
    crossed: list[BaseException] = []
    start = threading.Barrier(12)

    def work(n: int) -> None:
        start.wait()
        try:
            if n % 3 == 0:
                timers.run_due(now=at)
            else:
                with isolation.of(viewer):
                    if n % 3 == 1:
                        alerts.acknowledge(viewer, found[n // 3].ref, STEP, now=at)
                    else:
                        Standing.objects.select_for_update().get(horse_id=found[n // 3].horse_id)
                        raised(viewer, names[n // 3], finding("danger_signs", "urgent"), now=at)
        except DatabaseError as error:
            crossed.append(error)
        finally:
            connections.close_all()

    workers = [threading.Thread(target=work, args=(n,)) for n in range(12)]
    for each in workers:
        each.start()
    for each in workers:
        each.join()
    assert crossed == []
    assert "a timer failed" not in caplog.text
    with inside("isolde"):
        assert set(Alert.objects.values_list("state", flat=True)) == {"acknowledged"}
        assert {kind for kind, _ in running()} == {"follow_up"}
        assert len(running()) == 4


def test_alerts_of_a_yard_due_at_one_instant_escalate_in_one_message(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
        raised(viewer, "Sorrel Lad", finding())
        raised(viewer, "Tansy", finding())
    timers.run_due(now=escalates_at())
    deliver.deliver_due(now=escalates_at())
    assert sorted(message["Subject"] for message in box.to("keziah@example.org")) == [
        "Call the vet: 2 alerts at Top Barn",
        "Call the vet: Tansy, Sallow Field: fat in spring",
    ]


def test_of_a_message_about_several_only_what_is_still_open_is_told(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        [answered] = raised(viewer, "Teasel", finding())
        raised(viewer, "Sorrel Lad", finding())
    timers.run_due(now=escalates_at())
    with inside("maud") as viewer:
        alerts.acknowledge(viewer, answered.ref, STEP, now=escalates_at())
    deliver.deliver_due(now=escalates_at())
    [message] = box.to("keziah@example.org")
    assert message["Subject"] == "Call the vet: Sorrel Lad, Top Barn: fat in spring"


def test_nobody_came_by_the_promised_time_so_the_ladder_starts_again(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        card = alerts.acknowledge(viewer, alert.ref, STEP, now=NOW + HOUR)
    at = card.next_step_by
    assert at is not None
    deliver.deliver_due(now=NOW + HOUR)
    timers.run_due(now=at)
    with inside("isolde"):
        again = Alert.objects.get()
        assert (again.state, again.step, again.version) == ("open", 0, 3)
        assert running() == [("escalate", at + ladder.ESCALATE_AFTER["act"])]
        assert len(entries("alert.reopened")) == 1
    deliver.deliver_due(now=at)
    first, second = box.to("isolde@example.org")
    assert first["Message-ID"] != second["Message-ID"]
    assert "No reading or visit has been recorded since." in mailbox.text_of(second)
    timers.run_due(now=at + ladder.ESCALATE_AFTER["act"])
    deliver.deliver_due(now=at + ladder.ESCALATE_AFTER["act"])
    assert len(box.to("keziah@example.org")) == 1


def test_the_end_of_a_snooze_opens_the_alert_and_tells_again(inside: Any) -> None:
    until = NOW + timedelta(days=2)
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        alerts.snooze(viewer, alert.ref, {"until": until, "reason": "Vet comes"}, now=NOW)
    timers.run_due(now=until - timedelta(seconds=1))
    with inside("isolde"):
        assert Alert.objects.get().state == "snoozed"
    timers.run_due(now=until)
    with inside("isolde"):
        assert Alert.objects.get().state == "open"
        # Whoever put it off has it, and is told besides.
        again = Notice.objects.filter(kind="alert", created_at=until)
        assert alarms.told(again) == {("alert", "isolde"), ("alert", "maud")}


@pytest.mark.parametrize(("severity", "waits"), [("act", True), ("urgent", False)])
def test_only_what_is_urgent_breaks_quiet_hours(inside: Any, severity: str, waits: bool) -> None:
    night = datetime.fromisoformat("2026-04-14T23:30:00+01:00")
    morning = datetime.fromisoformat("2026-04-15T07:00:00+01:00")
    with inside("isolde") as viewer:
        Yard.objects.update(quiet_from="21:00", quiet_to="07:00")
        raised(viewer, "Teasel", finding("danger_signs", severity), now=night)
        if waits:
            # Who is told in the morning is asked in the morning.
            assert not Notice.objects.exists()
            assert running() == [("escalate", morning)]
        else:
            assert {row.due_at for row in Notice.objects.all()} == {night}
            assert running() == [("escalate", night + ladder.ESCALATE_AFTER[severity])]
    timers.run_due(now=morning)
    with inside("isolde"):
        assert {row.kind for row in Notice.objects.filter(due_at=morning)} == {
            "alert" if waits else "escalation"
        }


def test_a_failing_timer_is_put_off_and_holds_up_nobody(
    inside: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    with inside("maud") as viewer:
        [broken] = raised(viewer, "Teasel", finding())
        raised(viewer, "Tansy", finding())
        # A row that no code of ours writes: a yard in a zone that there is not.
        quiet = {"quiet_from": time(21), "quiet_to": time(7)}
        Yard.objects.filter(name="Top Barn").update(time_zone="Nowhere/At_all", **quiet)
    at = escalates_at()
    assert timers.run_due(now=at) == 1
    with inside("isolde"):
        row = Timer.objects.get(alert=broken)
        assert (row.attempts, row.due_at) == (1, at + timers.FIRST_WAIT)
        assert Alert.objects.get(horse__name="Tansy").step == 1
    assert timers.run_due(now=at + timers.FIRST_WAIT) == 0
    with inside("isolde"):
        assert Timer.objects.get(alert=broken).attempts == 2
