"""The morning's summary: once a person, in the yard's morning, and no mail with nothing to say."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from scoring.actions import absences, alerts, deliver, timers
from scoring.models import Notice
from tests import alarms, mailbox
from tests.actions.test_sweep import planned
from tests.alarms import finding, raised, standing_of
from yards.models import Yard

pytestmark = pytest.mark.usefixtures("no_standings")

# 06:00 in London, the day after a Tuesday's alerts.
SIX = datetime(2026, 4, 15, 5, 0, tzinfo=UTC)
NOON = SIX - timedelta(hours=18)
DAY = timedelta(days=1)


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def summed_up(at: datetime, box: mailbox.Mailbox) -> dict[str, list[str]]:
    """Run a morning and deliver; return the summaries by whom they went to, as text."""
    seen = len(box.taken)
    timers.run_due(now=at)
    timers.run_due(now=at + timedelta(minutes=5))
    deliver.deliver_due(now=at + timedelta(minutes=30))
    found: dict[str, list[str]] = {}
    for message in box.taken[seen:]:
        text = mailbox.text_of(message)
        if "One such message a day at most" in text:
            name = message["To"].addresses[0].username
            found.setdefault(name, []).append(f"{message['Subject']}\n{text}")
    return found


def test_an_open_alert_is_in_the_summary_of_each_morning_until_it_is_resolved(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("isolde") as viewer:
        [open_one] = raised(viewer, "Teasel", finding(), now=NOON)
        [promised] = raised(viewer, "Tansy", finding(), now=NOON)
        step = {"next_step": "Score again", "by": (SIX + 2 * DAY).isoformat()}
        alerts.acknowledge(viewer, promised.ref, step, now=NOON)
        for name in ("Teasel", "Tansy"):
            standing_of(alarms.horse(name))
        planned("Top Barn", "Sallow Field", now=SIX)
    stands = ["Nobody has answered yet.", "Everybody has been told, and nobody has answered."]
    for day in range(2):
        found = summed_up(SIX + day * DAY, box)
        assert sorted(found) == ["isolde", "maud", "tobias"]
        assert all(len(each) == 1 for each in found.values())
        [text] = found["isolde"]
        assert text.startswith("2 open alerts")
        assert f"Teasel: fat in spring (Today). {stands[day]}" in text
        assert "Tansy: fat in spring (Today). Isolde Kerr took it on: Score again, by" in text
        assert f"/alerts/{open_one.ref}/" in text
    with inside("isolde") as viewer:
        for each in (open_one, promised):
            alerts.resolve(viewer, each.ref, {"reason": "Slim now"}, now=SIX + DAY)
    assert summed_up(SIX + 2 * DAY, box) == {}


def test_with_nothing_to_say_there_is_no_mail(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("isolde"):
        standing_of(alarms.horse("Teasel"))
        planned("Top Barn", now=SIX)
    assert summed_up(SIX, box) == {}
    assert box.offered == []


def test_what_is_to_be_watched_is_said_once_a_week(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("isolde") as viewer:
        raised(viewer, "Teasel", finding("crest_raised", "watch"), now=NOON)
        planned("Top Barn", now=SIX)
    # A Wednesday; then each day to the Tuesday after.
    told = [bool(summed_up(SIX + day * DAY, box)) for day in range(7)]
    assert told == [True, False, False, False, False, True, False]


def test_each_yard_has_its_own_morning_and_whoever_is_away_has_none(
    inside: Any, box: mailbox.Mailbox
) -> None:
    auckland = datetime(2026, 4, 14, 18, 0, tzinfo=UTC)  # 06:00 on the 15th there
    with inside("maud") as viewer:
        absences.set_away(viewer, {"until": (SIX + DAY).isoformat()}, now=NOON)
    with inside("isolde") as viewer:
        Yard.objects.filter(name="Top Barn").update(time_zone="Pacific/Auckland")
        raised(viewer, "Teasel", finding(), now=NOON)
        planned("Top Barn", now=auckland)
        row = Notice.objects.filter(kind="reminder")
        assert not row.exists()
    found = summed_up(auckland, box)
    assert sorted(found) == ["isolde", "tobias"]
