"""The outbox is emptied over real SMTP: once a key, again when it is not sure, never lost."""

import subprocess
import sys
import threading
from collections.abc import Iterator
from datetime import timedelta
from email.message import EmailMessage
from typing import Any

import pytest
from django.db import connections

from scoring.actions import deliver
from scoring.models import Notice
from tests import alarms, cast, factories, mailbox
from tests.alarms import NOW, finding, raised
from yards.models import Grant, User

pytestmark = pytest.mark.usefixtures("no_standings")


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


def test_a_message_is_taken_once_and_marked_sent(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
    assert deliver.deliver_due(now=NOW) == 1
    assert deliver.deliver_due(now=NOW + timedelta(hours=1)) == 0
    [message] = box.taken
    with inside("isolde"):
        row = Notice.objects.get()
        assert (row.state, row.due_at, row.attempts) == ("sent", None, 1)
        assert message["Message-ID"] == row.message_id == f"<{row.key}@127.0.0.1>"
    assert message["Auto-Submitted"] == "auto-generated"
    assert message["Halfpoint-Possible-Repeat"] is None


def test_four_deliverers_at_once_send_each_key_once(inside: Any, box: mailbox.Mailbox) -> None:
    names = ["Teasel", "Sorrel Lad", "Tansy", "Wagtail", "Marram"]
    with inside("isolde") as viewer:
        for name in names:
            raised(viewer, name, finding("danger_signs", "urgent"))
    start = threading.Barrier(4)

    def work() -> None:
        start.wait()
        try:
            deliver.deliver_due(now=NOW)
        finally:
            connections.close_all()

    workers = [threading.Thread(target=work) for _ in range(4)]
    for each in workers:
        each.start()
    for each in workers:
        each.join()
    keys = [str(each["Message-ID"]) for each in box.taken]
    assert len(keys) == len(set(keys)) == len(names) * 2  # the coordinator and the vet
    with inside("isolde"):
        assert set(Notice.objects.values_list("message_id", flat=True)) == set(keys)
        assert set(Notice.objects.values_list("state", "attempts")) == {("sent", 1)}


def test_death_between_send_and_mark_sends_again_and_says_so(
    inside: Any, box: mailbox.Mailbox, environment: dict[str, str]
) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
    script = (
        "import django, sys; django.setup()\n"
        "from django.conf import settings\n"
        "from datetime import datetime\n"
        "from scoring.actions import deliver\n"
        "print(deliver.deliver_due(now=datetime.fromisoformat(sys.argv[1])))\n"
    )
    from django.conf import settings

    child = subprocess.Popen(
        [sys.executable, "-c", script, NOW.isoformat()],
        env={**environment, "EMAIL_URL": f"smtp://127.0.0.1:{settings.EMAIL_PORT}"},
        stdout=subprocess.PIPE,
    )

    def take_and_kill(message: EmailMessage) -> str:
        child.kill()
        return mailbox.TAKEN

    box.answer = take_and_kill
    out, _ = child.communicate(timeout=60)
    assert (out, len(box.taken)) == (b"", 1)
    box.answer = mailbox.take
    with inside("isolde"):
        assert Notice.objects.get().state == "attempting"
    assert deliver.deliver_due(now=NOW + deliver.LEASE / 2) == 0
    assert deliver.deliver_due(now=NOW + deliver.LEASE * 2) == 1
    first, second = box.taken
    assert first["Message-ID"] == second["Message-ID"]
    assert (first["Halfpoint-Possible-Repeat"], second["Halfpoint-Possible-Repeat"]) == (
        None,
        "yes",
    )
    assert "may have had this message before" in mailbox.text_of(second)
    with inside("isolde"):
        assert Notice.objects.get().state == "sent"


def test_a_refusal_is_tried_again_after_a_wait_and_is_no_repeat(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
    box.answer = lambda _message: "451 Try later"
    assert deliver.deliver_due(now=NOW) == 0
    with inside("isolde"):
        row = Notice.objects.get()
        assert (row.state, row.attempts) == ("pending", 1)
        assert "451" in row.last_error
        assert row.due_at is not None
        assert timedelta(seconds=4) < row.due_at - NOW < timedelta(seconds=30)
    box.answer = mailbox.take
    assert deliver.deliver_due(now=NOW + timedelta(minutes=1)) == 1
    [message] = box.taken
    assert message["Halfpoint-Possible-Repeat"] is None


def test_a_line_that_breaks_after_the_text_leaves_it_unknown_and_is_tried_again(
    inside: Any, box: mailbox.Mailbox
) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
    box.answer = lambda _message: mailbox.HANG_UP
    assert deliver.deliver_due(now=NOW) == 0
    with inside("isolde"):
        assert Notice.objects.get().state == "attempting"
    # A refusal in between does not make it forget that the first may have gone.
    box.answer = lambda _message: "451 Try later"
    assert deliver.deliver_due(now=NOW + timedelta(minutes=1)) == 0
    box.answer = mailbox.take
    assert deliver.deliver_due(now=NOW + timedelta(minutes=5)) == 1
    assert [each["Halfpoint-Possible-Repeat"] for each in box.taken] == [None, "yes"]


def test_a_server_that_is_not_there_is_tried_again(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
    with mailbox.nobody_there():
        assert deliver.deliver_due(now=NOW) == 0
    with inside("isolde"):
        assert Notice.objects.get().state == "pending"
    assert deliver.deliver_due(now=NOW + timedelta(minutes=1)) == 1
    assert box.taken[0]["Halfpoint-Possible-Repeat"] is None


def test_one_refused_message_does_not_hold_up_the_others(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("isolde") as viewer:
        raised(viewer, "Teasel", finding())
        raised(viewer, "Tansy", finding())
    box.answer = lambda message: "550 No" if "Teasel" in message["Subject"] else mailbox.TAKEN
    assert deliver.deliver_due(now=NOW) == 1
    assert "Tansy" in box.taken[0]["Subject"]


def test_the_wait_doubles_up_to_a_longest_and_urgent_mail_is_never_given_up() -> None:
    waits = [deliver.wait_after(n, is_urgent=True).total_seconds() for n in range(1, 9)]
    assert waits == [5, 10, 20, 40, 80, 160, 300, 300]
    assert deliver.wait_after(1000, is_urgent=False) == timedelta(hours=1)


@pytest.mark.parametrize(("severity", "state"), [("urgent", "pending"), ("act", "failed")])
def test_after_the_last_try_only_what_is_not_urgent_fails(
    inside: Any, box: mailbox.Mailbox, severity: str, state: str
) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("danger_signs", severity))
        Notice.objects.exclude(person_id=cast.ref("isolde")).update(due_at=None)
        Notice.objects.update(attempts=deliver.TRIES - 1)
    box.answer = lambda _message: "550 No such mailbox"
    deliver.deliver_due(now=NOW)
    with inside("isolde"):
        assert Notice.objects.get(person_id=cast.ref("isolde")).state == state


@pytest.mark.parametrize(
    "ended", ["grant revoked", "grant ended", "person disabled", "demoted", "other yards only"]
)
def test_who_may_no_longer_see_it_is_not_told(
    inside: Any, box: mailbox.Mailbox, ended: str
) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
    with alarms.as_system():
        grants = Grant.objects.filter(person_id=cast.ref("isolde"))
        if ended == "grant revoked":
            grants.update(revoked_at=NOW)
        elif ended == "grant ended":
            grants.update(until_at=NOW)
        elif ended == "person disabled":
            User.objects.filter(id=cast.ref("isolde")).update(is_active=False)
        elif ended == "other yards only":
            grants.update(all_yards=False)
            factories.grant_yard(grants.get(), cast.ref("Nether Paddocks"))
        else:
            grants.update(role="assessor")
    assert deliver.deliver_due(now=NOW + timedelta(minutes=1)) == 0
    assert box.offered == []
    with alarms.as_system():
        assert Notice.objects.get().state == "called_off"


def test_a_message_about_a_resolved_alert_is_called_off(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
        raised(viewer, "Teasel", judged={"fat_in_spring"})
        assert Notice.objects.get().state == "called_off"
    assert deliver.deliver_due(now=NOW) == 0


def test_names_cannot_add_headers(inside: Any, box: mailbox.Mailbox) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
        animal = alarms.horse("Teasel")
        animal.name = "Teasel\r\nBcc: all@example.org\x00"[:-1]
        animal.save(update_fields=["name"])
        User.objects.filter(id=cast.ref("isolde")).update(
            name='Isolde\r\nBcc: "all" <all@example.org>'
        )
    assert deliver.deliver_due(now=NOW) == 1
    [message] = box.taken
    assert message["Bcc"] is None
    assert "\n" not in str(message["Subject"])
    assert [each.addr_spec for each in message["To"].addresses] == ["isolde@example.org"]
