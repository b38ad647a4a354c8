"""The wall where connections are kept: in turn, after faults, in threads, in a worker, in streams.

What a transaction may see is ``test_isolation``'s; this is of what comes after it, or beside it, on
connections that serve both organisations.
"""

import faulthandler
import os
import threading
import uuid
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from datetime import datetime
from typing import Any

import pytest
from celery.contrib.testing.worker import start_worker
from django.contrib.auth import get_user
from django.db import DatabaseError, connection, connections, transaction
from django.http import HttpRequest, StreamingHttpResponse
from django.test import RequestFactory

from deploy.celery import app
from tests import cast, signing
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Horse
from yards.pages.screen import screen
from yards.rules import errors
from yards.rules.roles import Viewer

OWN = {
    key: {name for name, (yard, *_) in cast.HORSES.items() if cast.YARDS[yard] == house}
    for key, house in (("isolde", cast.QUILLET), ("perran", cast.LARCHGILL))
}
BOTH = tuple(OWN)


def names() -> set[str]:
    """The horses that are seen just now, past every door."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT name FROM yards_horse")
        return {str(name) for (name,) in cursor.fetchall()}


def backend() -> int:
    """The number of the connection's process, as PostgreSQL has it."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_backend_pid()")
        return int(cursor.fetchone()[0])


def refused() -> None:
    raise errors.Conflict


def broken() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 / 0")


def mended() -> None:
    """A fault within, that the rest outlives."""
    with suppress(DatabaseError), transaction.atomic():
        broken()


ENDINGS: tuple[Callable[[], Any], ...] = (
    names,
    refused,
    broken,
    mended,
    lambda: transaction.set_rollback(True),
)


@pytest.fixture
def both(database: str) -> dict[str, Viewer]:
    return {key: viewer_of(key) for key in BOTH}


def test_one_connection_serves_both_in_turn_however_each_ends(both: dict[str, Viewer]) -> None:
    kept = {backend()}
    for ending in ENDINGS:
        for key in BOTH:
            with suppress(errors.Conflict, DatabaseError), isolation.of(both[key]):
                assert names() == OWN[key]
                ending()
                assert names() == OWN[key]
            assert names() == set(), (key, ending)
            kept.add(backend())
    assert len(kept) == 1


def test_threads_serve_both_at_once_each_on_a_connection_that_is_kept(
    both: dict[str, Viewer],
) -> None:
    """Four threads meet inside their transactions, and change houses each time."""
    together, kept = threading.Barrier(4), set()

    def serve(number: int) -> list[tuple[str, set[str], set[str]]]:
        found = []
        try:
            for turn in range(6):
                key = BOTH[(number + turn) % 2]
                with isolation.of(both[key]):
                    together.wait(20)
                    seen = names()
                    together.wait(20)
                found.append((key, seen, names()))
                kept.add((number, backend()))
        finally:
            connections.close_all()
        return found

    with ThreadPoolExecutor(4) as pool:
        for found in pool.map(serve, range(4)):
            assert found == [(key, OWN[key], set()) for key, *_ in found]
    assert len(kept) == 4


def one_done(
    task: Any, asked: tuple[int, str, str], begun: set[int], ended: threading.Event
) -> None:
    """Have a task done, and say where each thread is if it hangs.

    One that was lost on its way is asked again: that is no matter of the wall.
    """
    for _ in range(3):
        if asked[0] not in begun:
            task.apply_async(asked, queue=task.name)
        if ended.wait(15):
            return
        faulthandler.dump_traceback(all_threads=True)
    raise AssertionError((asked, begun))


def test_one_worker_does_tasks_of_both_in_turn_however_each_ends(both: dict[str, Viewer]) -> None:
    """A Celery worker of one process, fed by the broker; half of its tasks fail in the middle."""
    found: list[tuple[str, set[str], set[str]]] = []
    places: set[tuple[int, int]] = set()
    begun: set[int] = set()
    ended, queue = threading.Event(), f"test-{uuid.uuid4().hex}"

    def look(key: str, ending: int) -> None:
        before = names()
        with isolation.of(both[key]):
            found.append((key, before, names()))
            places.add((os.getpid(), threading.get_ident()))
            ENDINGS[ending]()

    def looks(number: int, first: str, second: str) -> None:
        # As a pass over what is due: one after the other, and the last may fail the whole task.
        begun.add(number)
        try:
            with suppress(errors.Conflict, DatabaseError):
                look(first, number // 2)
            look(second, number // 2)
        finally:
            ended.set()

    task: Any = app.task(name=queue)(looks)
    asked = [pair for _ in ENDINGS for pair in (BOTH, BOTH[::-1])]
    try:
        with start_worker(app, pool="solo", queues=[queue], perform_ping_check=False):
            for number, (one, other) in enumerate(asked):
                ended.clear()
                one_done(task, (number, one, other), begun, ended)
    finally:
        app.tasks.unregister(queue)
    assert found == [(key, set(), OWN[key]) for pair in asked for key in pair]
    [(process, thread)] = places
    assert process == os.getpid()
    assert thread != threading.get_ident()


def streamed() -> Iterator[str]:
    """Horses as they are fetched, one by one."""
    return Horse.objects.order_by("id").values_list("name", flat=True).iterator(chunk_size=1)


def test_a_stream_reads_its_own_and_nothing_once_its_transaction_is_over(
    both: dict[str, Viewer],
) -> None:
    def beside() -> set[str]:
        try:
            with isolation.of(both["perran"]):
                return set(streamed())
        finally:
            connections.close_all()

    with ThreadPoolExecutor(1) as other, isolation.of(both["isolde"]):
        rows = streamed()
        first = next(rows)
        assert other.submit(beside).result() == OWN["perran"]
        assert {first, *rows} == OWN["isolde"]
        late, later = streamed(), streamed()
        assert {next(late), next(later)} < OWN["isolde"]
    # Not one row more, of nobody's, of all or of whoever is there now: it says that it is over.
    with pytest.raises(DatabaseError, match="cursor"):
        next(late)
    with (
        isolation.of(both["perran"]),
        pytest.raises(DatabaseError, match="cursor"),
        transaction.atomic(),
    ):
        next(later)


def test_an_answer_that_streams_is_refused(both: dict[str, Viewer]) -> None:
    """A page renders within its transaction; what is read after it would be an empty file."""

    @screen("a stream")
    def page(request: HttpRequest, viewer: Viewer, now: datetime) -> Any:
        return StreamingHttpResponse(Horse.objects.values_list("name", flat=True))

    client = signing.signed_in("isolde")
    request = RequestFactory().get("/")
    request.user, request.session = get_user(client), client.session
    with pytest.raises(isolation.NotIsolated, match="whole before its transaction ends"):
        page(request)
