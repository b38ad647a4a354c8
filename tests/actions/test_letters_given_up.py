"""A letter that never goes: whoever can do something about it reads so, and nobody elsewhere."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from email.message import EmailMessage

import pytest

from scoring.actions import reconciling
from tests import mailbox, signing
from tests.actions.record import NOW
from tests.api.asking import Asker
from tests.mailbox import Mailbox
from yards.actions import letters
from yards.actions.post import TRIES
from yards.models import Letter

JONTY = "jonty@example.org"
ASKED = {"email": JONTY, "role": "assessor", "yards": "all", "hours": 100}
DAY = timedelta(days=1)


@pytest.fixture
def post(database: str) -> Iterator[Mailbox]:
    """A mail server that knows nobody called Jonty."""

    def answer(message: EmailMessage) -> str:
        return "550 No such mailbox" if JONTY in str(message["To"]) else mailbox.TAKEN

    with mailbox.opened() as box:
        box.answer = answer
        yield box


def send(now: datetime) -> int:
    """What the worker does each second; what is tried now is at its last try."""
    Letter.objects.filter(due_at__isnull=False).update(attempts=TRIES - 1)
    return letters.deliver_due(now=now)


def state(key: str = "isolde") -> list[str]:
    return [each["state"] for each in Asker(key).get("invitations/").json()["results"]]


def shown(key: str) -> str:
    return signing.signed_in(key).get("/people/invitations/").content.decode()


def test_whoever_invited_reads_that_it_was_not_delivered(post: Mailbox) -> None:
    made, now = Asker("isolde").post("invitations/", ASKED).json(), datetime.now(UTC)
    assert state() == ["unsent"]
    assert send(now + DAY) == 0
    assert state() == ["undelivered"]
    assert "Not delivered" in shown("isolde")
    assert "Send again" in shown("isolde")
    # Nobody is told elsewhere: neither by mail nor on a page, nor by a number on every page.
    assert [state("perran"), JONTY in shown("perran")] == [[], False]
    assert reconciling.reconcile(now=now + 3 * DAY).undelivered == 1, "the letter to Isolde waits"
    assert letters.deliver_due(now=now + 3 * DAY) == 1
    assert [each["To"] for each in post.taken] == ["isolde@example.org"]
    told = mailbox.text_of(post.taken[0])
    for said in (JONTY, "Quillet Moor Horse Refuge", "/people/invitations/"):
        assert said in told
    assert reconciling.reconcile(now=now + 3 * DAY).undelivered == 0
    # Sent again it waits; over before it went, it is told once more.
    assert Asker("isolde").post(f"invitations/{made['id']}/send/", {}).json()["state"] == "unsent"
    over = now + 9 * DAY
    assert letters.deliver_due(now=over) == 0
    assert letters.deliver_due(now=over + DAY) == 1
    assert [len(post.to("isolde@example.org")), Letter.objects.count()] == [2, 0]


def test_of_a_letter_that_two_wait_for_nothing_is_told_while_one_may_go(post: Mailbox) -> None:
    made = Asker("isolde").post("invitations/", ASKED).json()
    Letter.objects.update(due_at=NOW)
    Asker("isolde").post(f"invitations/{made['id']}/send/", {})
    assert send(NOW) == 0
    assert (state(), Letter.objects.get().kind) == (["unsent"], letters.INVITATION)


def test_of_an_account_the_operator_reads_a_number_for_a_week(post: Mailbox) -> None:
    post.answer = lambda _message: "550 Full"
    for email in ("maud@example.org", "mistyped@example.org"):
        letters.tell(email, subject="Your password was changed", text="So it was.", now=NOW)
    assert send(NOW) == 0
    kept = Letter.objects.get()
    assert (kept.email, kept.due_at, kept.said) == ("maud@example.org", None, {})
    assert send(NOW + DAY) == 0
    assert len(post.offered) == 2, "tried no more"
    assert reconciling.reconcile(now=NOW + 6 * DAY).undelivered == 1
    assert reconciling.reconcile(now=NOW + 7 * DAY).undelivered == 0
    assert not Letter.objects.exists()
