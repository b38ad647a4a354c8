"""An alert that nobody answers: told again until somebody does, whatever clocks and people do."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from scoring.actions import absences, alert_notes, alerts, assessments, deliver, timers
from scoring.models import Alert, AlertAct, Notice
from scoring.rules import ladder
from tests import alarms, cast, mailbox, readings
from tests.alarms import NOW, finding, raised, running
from yards.actions import events
from yards.models import Grant, Horse, Yard
from yards.rules import errors

pytestmark = pytest.mark.usefixtures("no_standings")

STEP = {"next_step": "Ferrow Vets visit"}
MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
LONDON = ZoneInfo("Europe/London")


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def ran_until(end: datetime, start: datetime = NOW) -> list[datetime]:
    """Let the beat run minute by minute; return when people were told, in UTC."""
    at = start
    while at <= end:
        timers.run_due(now=at)
        at += MINUTE
    with alarms.as_system():
        kinds = Notice.objects.exclude(kind="reminder")
        return sorted(set(kinds.values_list("created_at", flat=True)))


def test_an_urgent_alert_is_repeated_until_answered_and_says_when_all_were_told(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding("danger_signs", "urgent"))
    told = ran_until(NOW + 2 * HOUR)
    assert told == [NOW + n * 30 * MINUTE for n in range(5)]
    with inside("isolde") as viewer:
        held = Alert.objects.get()
        # The first repeat comes when all were told; a repeat makes no answer stale.
        assert (held.exhausted_at, held.step, held.version) == (NOW + HOUR, 1, 2)
        assert list(AlertAct.objects.order_by("id").values_list("kind", flat=True)) == [
            *("told", "exhausted", "told", "told"),
        ]
    deliver.deliver_due(now=NOW + 2 * HOUR)
    last = box.to("isolde@example.org")[-1]
    assert "Everybody who is to be told has been told" in mailbox.text_of(last)
    with inside("isolde") as viewer:
        alerts.acknowledge(viewer, alert.ref, {**STEP, "version": 2}, now=NOW + 2 * HOUR)
        held = Alert.objects.get()
        assert (held.exhausted_at, held.owner_id) == (None, viewer.person)
        assert {kind for kind, _ in running()} == {"follow_up"}


def test_in_the_repeated_autumn_hour_nobody_is_left_out_or_told_twice(inside: Any) -> None:
    # 01:15 for the first time in London; the hour comes again at 01:00 UTC.
    began = datetime(2026, 10, 25, 0, 15, tzinfo=UTC)
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("danger_signs", "urgent"), now=began)
    told = ran_until(began + 2 * HOUR, began)
    assert told == [began + n * 30 * MINUTE for n in range(5)]
    assert [f"{each.astimezone(LONDON):%H:%M}" for each in told[:4]] == [
        *("01:15", "01:45", "01:15", "01:45")
    ]


@pytest.mark.parametrize(
    ("evening", "morning"),
    [
        ("2026-03-28T20:00:00+00:00", "2026-03-29T10:00:00+01:00"),
        ("2026-10-24T20:00:00+01:00", "2026-10-25T10:00:00+00:00"),
    ],
    ids=["spring", "autumn"],
)
def test_on_both_days_of_a_clock_change_the_second_step_comes_by_the_yard_s_clock(
    inside: Any, evening: str, morning: str
) -> None:
    began = datetime.fromisoformat(evening)
    with inside("maud") as viewer:
        Yard.objects.update(quiet_from="21:00", quiet_to="07:00")
        raised(viewer, "Teasel", finding(), now=began)
    with inside("isolde"):
        # An hour before the night, three after it.
        assert running() == [("escalate", datetime.fromisoformat(morning))]


def test_a_reading_that_comes_late_still_opens_an_alert_whose_ladder_begins_now(
    inside: Any, box: mailbox.Mailbox
) -> None:
    now = NOW
    with inside("maud") as viewer:
        alarms.standing_of(alarms.horse("Teasel"))
        raw = readings.raw("Teasel", now - timedelta(days=6), "1", "1", "1")
        assessments.record_assessment(viewer, raw, now=now)
        alert = Alert.objects.get(rule="emaciated")
        assert (alert.opened_at, alert.began_at, alert.told_at) == (now, now, now)
        assert alert.next_at == now + ladder.ESCALATE_AFTER["urgent"]
    deliver.deliver_due(now=now)
    [message] = box.to("keziah@example.org")
    assert "8 April 2026" in mailbox.text_of(message)  # when it was read, and by whom


@pytest.mark.parametrize("kind", ["died", "rehomed"])
def test_a_horse_that_leaves_while_its_alert_is_open_takes_the_ladder_along(
    inside: Any, box: mailbox.Mailbox, kind: str
) -> None:
    with inside("isolde") as viewer:
        raised(viewer, "Teasel", finding(), finding("crest_raised"))
        at = NOW + HOUR
        raw = {"kind": kind, "at": at.isoformat()}
        events.record_event(viewer, cast.ref("Teasel"), raw, now=at)
        assert set(Alert.objects.values_list("state", "resolution")) == {("resolved", "gone")}
        assert [each for each in running() if each[0] == "escalate"] == []
    ran_until(NOW + 5 * HOUR, NOW + HOUR)
    deliver.deliver_due(now=NOW + 5 * HOUR)
    assert box.taken == []


def test_a_horse_that_moves_is_told_to_who_looks_after_it_there(inside: Any) -> None:
    with alarms.as_system():
        grant = Grant.objects.get(person_id=cast.ref("isolde"))
        grant.role = "assessor"
        grant.save()
    with inside("tobias") as viewer:
        [alert] = raised(viewer, "Teasel", finding("danger_signs", "urgent"))
        alert_notes.assign(viewer, alert.ref, {"person": str(cast.ref("maud"))}, now=NOW)
        Horse.objects.filter(ref=cast.ref("Teasel")).update(yard=alarms.yard("Nether Paddocks"))
    timers.run_due(now=NOW + 30 * MINUTE)
    with inside("isolde"):
        # Maud's grant does not reach there; the vet's does.
        assert alarms.told(Notice.objects.filter(kind="escalation")) == {("escalation", "keziah")}


def test_a_vet_whose_grant_ends_between_two_steps_is_not_told_and_others_are(inside: Any) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("danger_signs", "urgent"))
        assert alarms.told() == {("alert", "isolde"), ("alert", "keziah")}
    with alarms.as_system():
        grants = Grant.objects.filter(person_id=cast.ref("keziah"))
        grants.update(until_at=NOW + 10 * MINUTE)
    timers.run_due(now=NOW + 30 * MINUTE)
    with inside("isolde"):
        assert alarms.told(Notice.objects.filter(kind="escalation")) == {("escalation", "isolde")}


def test_a_grant_that_ends_between_writing_and_sending_brings_the_next_step_forward(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
    with alarms.as_system():
        Grant.objects.filter(person_id=cast.ref("isolde")).update(until_at=NOW + MINUTE)
    at = NOW + 2 * MINUTE
    assert deliver.deliver_due(now=at) == 0
    assert timers.run_due(now=at + MINUTE) == 1
    assert deliver.deliver_due(now=at + MINUTE) == 1
    [message] = box.taken
    assert [each.addr_spec for each in message["To"].addresses] == ["keziah@example.org"]


def test_a_step_that_comes_late_in_the_night_waits_for_the_morning(inside: Any) -> None:
    with inside("maud") as viewer:
        Yard.objects.update(quiet_from="21:00", quiet_to="07:00")
        raised(viewer, "Teasel", finding())
    # Nobody ran a timer from noon to midnight.
    night = NOW + 13 * HOUR
    morning = datetime.fromisoformat("2026-04-15T07:00:00+01:00")
    assert ran_until(night + MINUTE, night) == [NOW]
    with inside("isolde"):
        assert running() == [("escalate", morning)]
    assert ran_until(morning, morning) == [NOW, morning]


def test_what_one_pass_finds_of_one_horse_is_one_message_the_gravest_first(
    inside: Any, box: mailbox.Mailbox
) -> None:
    night = datetime.fromisoformat("2026-04-14T23:30:00+01:00")
    with inside("maud") as viewer:
        Yard.objects.update(quiet_from="21:00", quiet_to="07:00")
        raised(viewer, "Teasel", finding(), finding("danger_signs", "urgent"), now=night)
        # What can wait for the morning is told along, and still has its own step then.
        assert {kind for kind, _ in running()} == {"escalate"}
        assert Notice.objects.count() == 2
    deliver.deliver_due(now=night)
    [message] = box.to("isolde@example.org")
    assert message["Subject"] == "Now: Teasel, Top Barn: danger signs, and 1 more"
    text = mailbox.text_of(message)
    assert text.index("danger signs (Now)") < text.index("fat in spring (Today)")


def test_nothing_lesser_keeps_a_graver_finding_back(inside: Any) -> None:
    with inside("maud") as viewer:
        Yard.objects.update(quiet_from="09:00", quiet_to="23:00")
        [lesser] = raised(viewer, "Teasel", finding())
        until = {"until": NOW + timedelta(days=5), "reason": "Vet comes"}
        alerts.snooze(viewer, lesser.ref, until, now=NOW)
        raised(viewer, "Teasel", finding("danger_signs", "urgent"), now=NOW + MINUTE)
        assert alarms.told() == {("alert", "isolde"), ("alert", "keziah")}
        # The snoozed alert itself rises, too.
        raised(viewer, "Teasel", finding("fat_in_spring", "urgent"), now=NOW + 2 * MINUTE)
        lesser.refresh_from_db()
        assert (lesser.state, lesser.told_at) == ("open", NOW + 2 * MINUTE)


def test_whoever_is_away_is_told_only_when_nobody_else_can_be(inside: Any) -> None:
    until = {"until": (NOW + timedelta(days=3)).isoformat()}
    with inside("keziah") as viewer:
        mine = absences.set_away(viewer, until, now=NOW)
        again = {**until, "id": str(mine.id)}
        assert absences.set_away(viewer, again, now=NOW).replayed
        with pytest.raises(errors.NotAllowed):
            absences.set_away(viewer, {**until, "person": str(cast.ref("isolde"))}, now=NOW)
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("danger_signs", "urgent"))
        assert alarms.told() == {("alert", "isolde")}
    with inside("isolde") as viewer:
        absences.set_away(viewer, until, now=NOW)
    with inside("maud") as viewer:
        raised(viewer, "Tansy", finding("danger_signs", "urgent"))
        about = Notice.objects.filter(alert__horse__name="Tansy")
        assert alarms.told(about) == {("alert", "isolde"), ("alert", "keziah")}
    with inside("isolde") as viewer:
        absences.end(viewer, mine.id, {}, now=NOW + HOUR)
        with pytest.raises(errors.Conflict):
            absences.end(viewer, mine.id, {}, now=NOW + HOUR)
    with inside("maud") as viewer:
        later = NOW + 2 * HOUR
        raised(viewer, "Wagtail", finding("danger_signs", "urgent"), now=later)
        about = Notice.objects.filter(alert__horse__name="Wagtail")
        assert alarms.told(about) == {("alert", "keziah")}


def test_an_owner_is_told_at_every_step_and_a_comment_sent_twice_is_one(inside: Any) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        for person in ("hollis", "perran"):
            with pytest.raises(errors.Invalid):
                alert_notes.assign(viewer, alert.ref, {"person": str(cast.ref(person))}, now=NOW)
        sent = {"person": str(cast.ref("tobias")), "version": 1}
        card = alert_notes.assign(viewer, alert.ref, sent, now=NOW)
        assert (card.owner is not None and card.owner.name, card.version) == ("Tobias Wren", 2)
        with pytest.raises(errors.Conflict):
            alert_notes.assign(viewer, alert.ref, {**sent, "version": 1}, now=NOW)
        said = {"id": str(cast.ref("a comment")), "text": "Off the grass since noon"}
        assert not alert_notes.comment(viewer, alert.ref, said, now=NOW).replayed
        assert alert_notes.comment(viewer, alert.ref, said, now=NOW).replayed
        with pytest.raises(errors.Conflict):
            alert_notes.comment(viewer, alert.ref, {**said, "text": "Other"}, now=NOW)
        assert AlertAct.objects.filter(kind="commented").count() == 1
    timers.run_due(now=NOW + ladder.ESCALATE_AFTER["act"])
    with inside("isolde"):
        assert alarms.told(Notice.objects.filter(kind="escalation")) == {
            *(("escalation", name) for name in ("isolde", "keziah", "tobias"))
        }
        verbs = [verb for verb, *_ in alarms.entries("alert.assigned", "alert.commented")]
        assert verbs == ["alert.assigned", "alert.commented"]
