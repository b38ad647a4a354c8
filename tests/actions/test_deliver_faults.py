"""A server away, a message that cannot go, a task whose time is up: none holds up the rest."""

import signal
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from email.message import EmailMessage
from typing import Any

import pytest
from celery.exceptions import SoftTimeLimitExceeded
from django.conf import settings
from django.db import connection

from scoring import tasks
from scoring.actions import deliver
from scoring.models import Notice
from tests import alarms, cast, mailbox
from tests.alarms import NOW, finding, raised
from yards.models import User

pytestmark = pytest.mark.usefixtures("no_standings")


@pytest.fixture
def box() -> Iterator[mailbox.Mailbox]:
    with mailbox.opened() as found:
        yield found


@pytest.fixture
def two(inside: Any) -> None:
    """Two messages to the coordinator."""
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
        raised(viewer, "Tansy", finding())


def states() -> list[tuple[str, int]]:
    with alarms.as_system():
        return sorted(Notice.objects.values_list("state", "attempts"))


def test_a_server_that_is_away_is_asked_once_a_run(two: None, box: mailbox.Mailbox) -> None:
    with mailbox.nobody_there():
        assert deliver.deliver_due(now=NOW) == 0
    assert states() == [("pending", 0), ("pending", 1)]
    assert deliver.deliver_due(now=NOW + 60 * deliver.FIRST_WAIT) == 2


def test_a_server_that_takes_the_call_and_says_nothing_is_asked_once_a_run(
    two: None, box: mailbox.Mailbox, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(settings, "EMAIL_TIMEOUT", 1)
    box.answer = lambda _message: time.sleep(2) or mailbox.TAKEN  # type: ignore[func-returns-value]
    began = time.monotonic()
    assert deliver.deliver_due(now=NOW) == 0
    assert time.monotonic() - began < 2
    assert states() == [("attempting", 1), ("pending", 0)]


def test_a_task_whose_time_is_up_ends_and_leaves_the_fate_of_its_message_open(
    two: None, box: mailbox.Mailbox
) -> None:
    """As Celery does it: a signal raises in the midst of the work."""

    def time_is_up(*_facts: object) -> None:
        raise SoftTimeLimitExceeded

    def take_and_end(_message: EmailMessage) -> str:
        signal.raise_signal(signal.SIGUSR1)
        time.sleep(0.5)
        return mailbox.TAKEN

    box.answer = take_and_end
    before = signal.signal(signal.SIGUSR1, time_is_up)
    try:
        with pytest.raises(SoftTimeLimitExceeded):
            tasks.deliver_notices()
    finally:
        signal.signal(signal.SIGUSR1, before)
    assert states() == [("attempting", 1), ("pending", 0)]


def test_a_message_taken_while_the_database_went_away_is_marked_and_goes_once(
    two: None, box: mailbox.Mailbox
) -> None:
    taken: list[EmailMessage] = []

    def cut() -> None:
        with connection.cursor() as cursor:  # this thread's own
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE usename = current_user AND datname = current_database()"
                " AND pid <> pg_backend_pid()"
            )
        connection.close()

    def take_and_cut(message: EmailMessage) -> str:
        taken.append(message)
        if len(taken) == 1:
            with ThreadPoolExecutor(1) as pool:
                pool.submit(cut).result()
        return mailbox.TAKEN

    box.answer = take_and_cut
    assert deliver.deliver_due(now=NOW) == 2
    assert (states(), len(taken)) == ([("sent", 1), ("sent", 1)], 2)


@pytest.mark.parametrize("address", ["isolde\n@example.org", "isolde@example.org, all@example.org"])
def test_a_message_that_cannot_go_is_counted_and_given_up_and_holds_up_nobody(
    two: None, box: mailbox.Mailbox, address: str
) -> None:
    with alarms.as_system():
        User.objects.filter(id=cast.ref("isolde")).update(email=address)
        first = Notice.objects.earliest("id")
        Notice.objects.exclude(id=first.id).update(due_at=None)
        Notice.objects.filter(id=first.id).update(attempts=deliver.TRIES - 2)
    deliver.deliver_due(now=NOW)
    with alarms.as_system():
        row = Notice.objects.get(id=first.id)
        assert (row.state, row.attempts) == ("pending", deliver.TRIES - 1)
        assert row.last_error
    deliver.deliver_due(now=NOW + 2 * deliver.LONGEST_WAIT)
    with alarms.as_system():
        row.refresh_from_db()
        assert (row.state, row.due_at) == ("failed", None)
