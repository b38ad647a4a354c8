"""A question to the vet goes out by mail: once, to vets in reach, without a word of it."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest

from scoring.actions import deliver
from scoring.actions import questions as actions
from scoring.models import Notice
from tests import cast, factories, mailbox
from tests.actions.record import NOW
from yards.models import Grant, Yard

TEASEL = cast.ref("Teasel")
ASKED = {"text": "Is the murmur worse since she was clipped?"}
LATER = NOW + timedelta(hours=1)


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def ask(inside: Any, **raw: Any) -> Any:
    with inside("maud") as viewer:
        return actions.ask(viewer, TEASEL, {**ASKED, **raw}, now=NOW)


def test_the_vet_is_told_once_with_a_link_and_without_a_word_of_it(
    inside: Any, box: mailbox.Mailbox
) -> None:
    made = ask(inside, id=str(cast.ref("a question")))
    assert made.told == 1
    assert ask(inside, id=str(cast.ref("a question"))).replayed
    assert deliver.deliver_due(now=NOW) == 1
    assert deliver.deliver_due(now=LATER) == 0
    [message] = box.taken
    assert "keziah@example.org" in message["To"]
    assert message["Subject"] == "A question about Teasel, Top Barn"
    parts = [each.get_content() for each in message.walk() if not each.is_multipart()]
    assert len(parts) == 2
    for part in parts:
        assert f"http://127.0.0.1:8000/questions/{made.id}/answer/" in part
        assert "Maud Pell has put a question to the vet about Teasel, Top Barn" in part
        assert not any(word in part for word in ("murmur", "clipped"))


def test_it_waits_for_the_yards_waking_hours(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("isolde"):
        quiet = {"quiet_from": (NOW - timedelta(hours=1)).time()}
        quiet |= {"quiet_to": (NOW + timedelta(hours=3)).time()}
        Yard.objects.filter(ref=cast.ref("Top Barn")).update(time_zone="UTC", **quiet)
    ask(inside)
    assert deliver.deliver_due(now=LATER) == 0
    assert deliver.deliver_due(now=NOW + timedelta(hours=3)) == 1


def test_what_was_answered_or_withdrawn_meanwhile_is_not_told(
    inside: Any, box: mailbox.Mailbox
) -> None:
    made = ask(inside)
    with inside("maud") as viewer:
        actions.withdraw(viewer, made.id, {"reason": "Read the notes"}, now=NOW)
    assert deliver.deliver_due(now=NOW) == 0
    with inside("isolde"):
        assert Notice.objects.get().state == "called_off"


def test_a_vet_of_other_yards_is_not_told(inside: Any) -> None:
    with inside("isolde"):
        grant = Grant.objects.get(ref=cast.ref("grant of keziah"))
        Grant.objects.filter(id=grant.id).update(all_yards=False)
        factories.grant_yard(grant, cast.ref("Nether Paddocks"))
    assert ask(inside).told == 0
