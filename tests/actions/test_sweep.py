"""The yard's six o'clock: seasons, lateness and reminders of horses that nobody touched."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.actions import deliver, sweep, timers
from scoring.models import Alert, Notice, Standing, Timer
from scoring.rules import ladder
from tests import alarms, cast, factories, mailbox
from tests.alarms import entries, finding, raised, scored, standing_of
from yards.actions import yards as yard_actions
from yards.models import Yard

pytestmark = pytest.mark.usefixtures("no_standings")

WINTER = datetime(2026, 2, 20, 12, 0, tzinfo=UTC)
# 1 March 2026, 06:00 in London.
SPRING = datetime(2026, 3, 1, 6, 0, tzinfo=UTC)
FAR = datetime(2027, 1, 1, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def planned(*names: str, now: datetime) -> None:
    """Plan the first sweeps of yards: due at the next six o'clock after ``now``."""
    for name in names:
        place = alarms.yard(name)
        sweep.ensure_sweep(alarms.SYSTEM, place, now)
    Timer.objects.filter(kind="sweep").update(due_at=now)
    # What is learnt from readings beside has tests of its own.
    Timer.objects.filter(kind="fit").update(due_at=None)


def fat(*names: str, at: datetime = WINTER) -> None:
    for name in names:
        scored(name, 8, 9, 8, at=at)
        standing_of(alarms.horse(name), score_due_at=FAR, weight_due_at=FAR)


def held() -> list[tuple[str, str, str]]:
    """Return (horse, rule, severity) of the alerts that are not resolved, sorted."""
    rows = Alert.objects.exclude(state="resolved")
    return sorted(rows.values_list("horse__name", "rule", "severity"))


def test_spring_begins_and_nobody_touched_the_horses(inside: Any, box: mailbox.Mailbox) -> None:
    with alarms.as_system():
        fat("Teasel", "Sorrel Lad", "Tansy")
        planned("Top Barn", "Sallow Field", now=SPRING - 24 * HOUR)
    assert timers.run_due(now=SPRING - 24 * HOUR) == 2
    three = ("Sorrel Lad", "Tansy", "Teasel")
    with inside("isolde"):
        # Fat all year, to be watched: nobody is called for it.
        assert held() == [(name, "fat", "watch") for name in three]
        assert not Notice.objects.exclude(kind="reminder").exists()
        assert set(Timer.objects.filter(kind="sweep").values_list("due_at", flat=True)) == {SPRING}
    assert timers.run_due(now=SPRING) == 2
    with inside("isolde"):
        assert held() == [(name, "fat_in_spring", "act") for name in three]
        # The graver alert took the place of the lesser one.
        lesser = Alert.objects.filter(rule="fat").values_list("state", "resolution")
        assert list(lesser) == [("resolved", "graver")] * 3
        assert set(Standing.objects.values_list("open_alerts", flat=True)) == {1}
        # Winter's two, then spring's.
        assert [verb for verb, *_ in entries("yard.swept")] == ["yard.swept"] * 4
        assert not Notice.objects.filter(kind="season").exists()
    # A moment later, over all yards: one message a person.
    gathered = SPRING + timedelta(minutes=5)
    assert timers.run_due(now=gathered) == 1
    deliver.deliver_due(now=gathered)
    [season] = [each for each in box.to("isolde@example.org") if "alerts at" in each["Subject"]]
    assert season["Subject"] == "Today: 3 alerts at 2 yards"
    assert mailbox.text_of(season).count("It is spring in this yard now") == 2
    # Again at once: nothing new. The ladder goes on from there.
    assert timers.run_due(now=gathered) == 0
    with inside("isolde"):
        assert len(held()) == 3
        assert Notice.objects.filter(kind="season").count() == 1
        again = {at for kind, at in alarms.running() if kind == "escalate"}
        assert again == {SPRING + ladder.ESCALATE_AFTER["act"]}


def test_an_old_reading_says_score_again_first(inside: Any, box: mailbox.Mailbox) -> None:
    with alarms.as_system():
        fat("Teasel", at=SPRING - timedelta(days=29))
        planned("Top Barn", now=SPRING)
    timers.run_due(now=SPRING)
    timers.run_due(now=SPRING + timedelta(minutes=5))
    deliver.deliver_due(now=SPRING + timedelta(minutes=5))
    [message] = [each for each in box.taken if "fat in spring" in each["Subject"]]
    assert "Score again first" in mailbox.text_of(message)
    assert "29 days ago" in mailbox.text_of(message)


def test_the_end_of_spring_clears_what_spring_opened(inside: Any) -> None:
    summer = datetime(2026, 6, 1, 5, 0, tzinfo=UTC)
    with alarms.as_system():
        fat("Teasel", at=summer - timedelta(days=3))
        planned("Top Barn", now=summer - 24 * HOUR)
    timers.run_due(now=summer - 24 * HOUR)
    with inside("isolde"):
        assert Alert.objects.get().state == "open"
    timers.run_due(now=summer)
    with inside("isolde"):
        alert = Alert.objects.get(rule="fat_in_spring")
        assert (alert.state, alert.resolution, alert.resolved_at) == ("resolved", "season", summer)
        # It is fat still, which is watched all year.
        assert held() == [("Teasel", "fat", "watch")]
        assert Standing.objects.get().open_alerts == 1


def test_a_changed_spring_is_judged_at_once(inside: Any) -> None:
    now = WINTER + HOUR
    with alarms.as_system():
        fat("Teasel")
        planned("Top Barn", now=WINTER)
    timers.run_due(now=WINTER)
    with inside("isolde") as viewer:
        assert held() == [("Teasel", "fat", "watch")]
        change = {"spring": {"first": "02-15", "last": "04-30"}, "version": 1}
        yard_actions.change_yard(viewer, cast.ref("Top Barn"), change, now=now)
        assert Timer.objects.get(kind="sweep").due_at == now
    timers.run_due(now=now)
    with inside("isolde"):
        # Never weighed, it is overdue besides.
        assert {rule for _, rule, _ in held()} == {"fat_in_spring", "overdue"}
        assert Timer.objects.get(kind="sweep").due_at == datetime(2026, 2, 21, 6, tzinfo=UTC)


def test_a_new_yard_has_its_sweep(inside: Any) -> None:
    with inside("isolde") as viewer:
        made = yard_actions.make_yard(
            viewer,
            {"name": "Isolation Block", "time_zone": "Europe/London", "hemisphere": "north"},
            now=WINTER,
        )
        assert Timer.objects.get(yard__ref=made.ref).kind == "sweep"


# Summer time by the tz database: Europe/London goes on at 01:00 UTC on 29 March 2026 and back at
# 01:00 UTC on 25 October 2026; Lord Howe moves by half an hour, back on 5 April and on again on
# 4 October 2026 (the last Sundays of March and October; the first Sundays of April and October).
@pytest.mark.parametrize(
    ("zone", "around"),
    [
        ("Europe/London", date(2026, 3, 29)),
        ("Europe/London", date(2026, 10, 25)),
        ("Australia/Lord_Howe", date(2026, 4, 5)),
        ("Australia/Lord_Howe", date(2026, 10, 4)),
    ],
)
def test_one_sweep_a_local_day_at_six_over_the_change_of_clocks(
    inside: Any, zone: str, around: date
) -> None:
    place = ZoneInfo(zone)
    begin = datetime.combine(around - timedelta(days=2), time(12), tzinfo=place)
    with alarms.as_system():
        Yard.objects.filter(name="Top Barn").update(time_zone=zone)
        planned("Top Barn", now=begin.astimezone(UTC))
    ran: list[datetime] = []
    at = begin.astimezone(UTC)
    while at < begin.astimezone(UTC) + timedelta(days=5):
        if timers.run_due(now=at):
            ran.append(at)
        at += timedelta(minutes=15)
    local = [each.astimezone(place) for each in ran[1:]]  # the first is the one planned by hand
    assert [each.time() for each in local] == [time(6)] * 5
    assert [each.date() for each in local] == [around + timedelta(days=n) for n in range(-1, 4)]


def test_one_reminder_a_person_and_day_over_two_yards(inside: Any, box: mailbox.Mailbox) -> None:
    six = datetime(2026, 4, 15, 5, 0, tzinfo=UTC)
    with alarms.as_system():
        standing_of(alarms.horse("Teasel"), score_due_at=six + 5 * HOUR)
        standing_of(alarms.horse("Tansy"), weight_due_at=six - 48 * HOUR)
        standing_of(alarms.horse("Marram"), score_due_at=six + 5 * HOUR)
        standing_of(alarms.horse("Wagtail"))
        planned("Top Barn", "Sallow Field", "Nether Paddocks", now=six)
    timers.run_due(now=six)
    assert deliver.deliver_due(now=six) == 0
    assert deliver.deliver_due(now=six + timedelta(minutes=10)) == 3
    assert sorted(str(each["To"]).split("<")[1] for each in box.taken) == [
        "isolde@example.org>",
        "maud@example.org>",
        "tobias@example.org>",
    ]
    [maud] = box.to("maud@example.org")
    text = mailbox.text_of(maud)
    assert maud["Subject"] == "Due today or overdue: 2 horses"
    assert "Teasel: score, due Wednesday 15 April 2026" in text
    assert "Tansy: weight, due Monday 13 April 2026" in text
    assert "Marram" not in text  # not her yard
    assert "Wagtail" not in text
    [isolde] = box.to("isolde@example.org")
    assert "Marram" in mailbox.text_of(isolde)
    # The next day Teasel is overdue, which is news; Tansy's is none.
    timers.run_due(now=six + 24 * HOUR)
    assert deliver.deliver_due(now=six + 25 * HOUR) == 3
    # On the day after that nothing is new.
    timers.run_due(now=six + 48 * HOUR)
    assert deliver.deliver_due(now=six + 49 * HOUR) == 0


def test_what_is_news_after_the_day_s_reminder_is_in_tomorrow_s(
    inside: Any, box: mailbox.Mailbox
) -> None:
    six = datetime(2026, 4, 15, 5, 0, tzinfo=UTC)
    with alarms.as_system():
        standing_of(alarms.horse("Teasel"), score_due_at=six)
        planned("Top Barn", "Sallow Field", now=six)
    timers.run_due(now=six)
    assert deliver.deliver_due(now=six + HOUR) == 3
    with inside("maud") as viewer:
        standing_of(alarms.horse("Teasel"), score_due_at=FAR)
        raised(viewer, "Tansy", finding("crest_raised", "watch"), now=six + 2 * HOUR)
        sweep.ensure_sweep(viewer, alarms.yard("Sallow Field"), six + 2 * HOUR)
    timers.run_due(now=six + 2 * HOUR)
    assert deliver.deliver_due(now=six + 3 * HOUR) == 0
    timers.run_due(now=six + 24 * HOUR)
    assert deliver.deliver_due(now=six + 25 * HOUR) == 3
    assert all("Tansy" in mailbox.text_of(each) for each in box.taken[3:])


def test_a_reminder_of_what_was_done_meanwhile_is_not_sent(
    inside: Any, box: mailbox.Mailbox
) -> None:
    six = datetime(2026, 4, 15, 5, 0, tzinfo=UTC)
    with alarms.as_system():
        standing_of(alarms.horse("Teasel"), score_due_at=six)
        planned("Top Barn", now=six)
    timers.run_due(now=six)
    with alarms.as_system():
        standing_of(alarms.horse("Teasel"), score_due_at=six + timedelta(days=28))
    assert deliver.deliver_due(now=six + HOUR) == 0
    assert box.offered == []


def test_what_is_overdue_is_watched_and_a_reading_ends_it(inside: Any) -> None:
    six = datetime(2026, 4, 15, 5, 0, tzinfo=UTC)
    with alarms.as_system():
        scored("Teasel", 5, 5, 5, at=six - timedelta(days=29))
        standing_of(alarms.horse("Teasel"), score_due_at=six - 24 * HOUR)
        planned("Top Barn", now=six)
    timers.run_due(now=six)
    with inside("isolde"):
        alert = Alert.objects.get()
        assert (alert.rule, alert.severity) == ("overdue", "watch")
        assert not Notice.objects.exclude(kind="reminder").exists()
        assert not Timer.objects.filter(kind="escalate").exists()
    with inside("maud") as viewer:
        raised(viewer, "Teasel", judged={"overdue"}, now=six + HOUR)
        assert Alert.objects.get().resolution == "reading"


def test_watch_alerts_go_with_the_reminder(inside: Any, box: mailbox.Mailbox) -> None:
    six = datetime(2026, 4, 15, 5, 0, tzinfo=UTC)
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("crest_raised", "watch"))
    with alarms.as_system():
        assert not Notice.objects.exists()
        planned("Top Barn", now=six)
    timers.run_due(now=six)
    deliver.deliver_due(now=six + HOUR)
    [message] = box.to("isolde@example.org")
    assert message["Subject"] == "To watch this week"
    assert "/alerts/" in mailbox.text_of(message)


def test_a_sweep_costs_as_many_queries_for_twenty_horses_as_for_ten(inside: Any) -> None:
    def grown(count: int, at: datetime) -> int:
        with alarms.as_system():
            place = alarms.yard("Nether Paddocks")
            for n in range(count):
                made: Any = factories.HorseFactory(  # type: ignore[no-untyped-call]
                    organisation_id=place.organisation_id, yard=place, name=f"Moor {count}.{n}"
                )
                standing_of(made, score_due_at=at - 48 * HOUR)
                alarms.scored_by_row(made, 8, 9, 8, at=at - 24 * HOUR)
            sweep.ensure_sweep(alarms.SYSTEM, place, at)
        with CaptureQueriesContext(connection) as queries:
            assert timers.run_due(now=at) == 1
        # What the morning opened goes out a moment later, and is not the sweep's cost.
        assert timers.run_due(now=at + timedelta(minutes=5)) == 1
        return len(queries)

    first = grown(10, SPRING)
    with alarms.as_system():
        assert Alert.objects.filter(rule="fat_in_spring").count() == 10
    assert grown(20, SPRING + HOUR) == first
