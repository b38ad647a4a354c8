"""An access that ends is told before it does: its holder once, coordinators by morning."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from scoring.actions import deliver, timers
from scoring.models import Notice
from tests import alarms, cast, factories, mailbox
from tests.actions.test_sweep import planned
from yards.models import Grant, User, Yard
from yards.rules.roles import Viewer

pytestmark = pytest.mark.usefixtures("no_standings")

# 06:00 in London on a Wednesday; the first yard by name is Nether Paddocks.
SIX = datetime(2026, 4, 15, 5, 0, tzinfo=UTC)
DAY = timedelta(days=1)


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def told(at: datetime, box: mailbox.Mailbox) -> dict[str, list[str]]:
    """Run a morning and deliver; return what went to whom, subject first."""
    seen = len(box.taken)
    timers.run_due(now=at)
    deliver.deliver_due(now=at + timedelta(minutes=30))
    found: dict[str, list[str]] = {}
    for message in box.taken[seen:]:
        text = f"{message['Subject']}\n{mailbox.text_of(message)}"
        found.setdefault(message["To"].addresses[0].username, []).append(text)
    return found


def change(key: str, **facts: Any) -> None:
    assert Grant.objects.filter(ref=cast.ref(f"grant of {key}")).update(**facts) == 1


def three_ends(viewer: Viewer, end: datetime) -> None:
    """The vet's within a week, Maud's an hour after it, and an officer in for a day."""
    Yard.objects.filter(name="Nether Paddocks").update(time_zone="Europe/Berlin")
    planned("Nether Paddocks", "Top Barn", now=SIX)
    change("keziah", until_at=end, issued_by_id=cast.ref("isolde"))
    change("maud", until_at=end + timedelta(hours=1))
    factories.GrantFactory.create(
        organisation_id=viewer.organisation,
        person_id=cast.ref("hollis"),
        role="vet",
        all_yards=True,
        from_at=SIX,
        until_at=SIX + timedelta(hours=18),
        confirmed_at=SIX,
    )
    User.objects.filter(id=cast.ref("keziah")).update(language="de")


def test_each_end_is_told_once_and_the_summary_names_it_only_beside_other_news(
    inside: Any, box: mailbox.Mailbox, settings: Any
) -> None:
    settings.LANGUAGES = [*settings.LANGUAGES, ("de", "Deutsch")]
    with inside("isolde") as viewer:
        three_ends(viewer, SIX + 7 * DAY)
    found = told(SIX, box)
    assert sorted(found) == ["isolde", "keziah"], "a grant of a day is nobody's news"
    [letter] = found["keziah"]
    assert "Your access to Quillet Moor Horse Refuge ends soon" in letter
    assert "ends Mittwoch 22 April 2026, 07:00, time of Europe/Berlin" in letter
    assert "Ask Isolde Kerr, who let you in" in letter
    [summed] = found["isolde"]
    assert summed.startswith("Access that ends soon\n")
    assert "Dr Keziah Orme, vet: until Wednesday 22 April 2026, 07:00." in summed
    assert "by the clock of Europe/Berlin" in summed
    assert "/people/" in summed
    # The next morning Maud's comes within a week, and Keziah's is beside it.
    found = told(SIX + DAY, box)
    assert sorted(found) == ["isolde", "maud"]
    assert "What waits on your phone is sent only while you have access" in found["maud"][0]
    assert found["isolde"][0].count(": until Wednesday 22 April 2026") == 2
    assert told(SIX + 2 * DAY, box) == {}, "nothing is news on the third morning"
    # Where there is other news, it stands in everybody's summary: one's own, or all of them.
    with inside("isolde") as viewer:
        alarms.raised(viewer, "Teasel", alarms.finding(), now=SIX + 3 * DAY - timedelta(hours=2))
        alarms.standing_of(alarms.horse("Teasel"))
    found = told(SIX + 3 * DAY, box)
    [own] = [each for each in found["maud"] if "One such message a day" in each]
    assert "Your own access: until Wednesday 22 April 2026, 08:00." in own
    assert "Keziah" not in own
    assert all("Access that ends soon" not in each for each in found["tobias"])


def test_what_is_prolonged_or_revoked_before_the_letter_goes_is_not_told(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("isolde") as viewer:
        planned("Nether Paddocks", now=SIX)
        change("keziah", until_at=SIX + 3 * DAY)
        change("hollis", until_at=SIX + 3 * DAY)
    timers.run_due(now=SIX)
    with inside("isolde") as viewer:
        assert Notice.objects.filter(kind="ending").count() == 2
        change("hollis", revoked_at=SIX)
        factories.GrantFactory.create(
            organisation_id=viewer.organisation,
            person_id=cast.ref("keziah"),
            role="vet",
            all_yards=True,
            from_at=SIX + 2 * DAY,
            until_at=SIX + 90 * DAY,
        )
    deliver.deliver_due(now=SIX + timedelta(minutes=30))
    assert box.offered == []
    with inside("isolde"):
        assert set(Notice.objects.values_list("state", flat=True)) == {"called_off"}
    assert told(SIX + DAY, box) == {}
