"""The wall between organisations: one transaction, one organisation, held by the database.

Only the edges open it (a page, an API view, a task, a command), outermost and durable. Actions and
queries ask ``required`` and never open or nest it, since an inner setting would outlive its block.
"""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import datetime
from uuid import UUID

from django.db import connection, connections, transaction
from django.http.response import HttpResponseBase

from yards.models import notes
from yards.rules.roles import Verb, Viewer, may

_inside: ContextVar[UUID | None] = ContextVar("halfpoint_inside", default=None)

RELAY = "relay"


class NotIsolated(RuntimeError):
    """Work on tenant rows outside their organisation's transaction, or inside another's."""


# What the policies read: see ``yards.migrations._tenancy``. Each is set each time, '' for none.
_SETTINGS = ("organisation", "person", "token", "hidden", "record_from", "record_until", "known_at")


def _set(*, read_only: bool = False, **values: str) -> None:
    each = ", ".join(f"set_config('halfpoint.{name}', %s, true)" for name in _SETTINGS)
    # What SET TRANSACTION READ ONLY sets, in the same statement.
    closed = ", set_config('transaction_read_only', 'on', true)" if read_only else ""
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {each}{closed}", [values.get(name, "") for name in _SETTINGS])


def _keys(keys: Collection[int]) -> str:
    # As PostgreSQL writes an array.
    return f"{{{','.join(str(each) for each in sorted(keys))}}}"


def _instant(at: datetime | None) -> str:
    return "" if at is None else at.isoformat()


@contextmanager
def of(viewer: Viewer, *, read_only: bool = False) -> Iterator[None]:
    """Open the viewer's organisation for one transaction.

    Raises NotIsolated when one is open already. ``read_only`` lets the database refuse every write.
    """
    if _inside.get() is not None or connection.in_atomic_block:
        raise NotIsolated("an organisation is already open; only the edge opens one")
    with transaction.atomic(durable=True):
        _set(
            read_only=read_only,
            organisation=str(viewer.organisation),
            person=str(viewer.person or ""),
            hidden=_keys(viewer.hidden),
            record_from=_instant(viewer.record_from),
            record_until=_instant(viewer.record_until),
        )
        mark = _inside.set(viewer.organisation)
        words = notes.withheld.set(not may(viewer, Verb.READ_NOTES))
        try:
            yield
        finally:
            notes.withheld.reset(words)
            _inside.reset(mark)


@contextmanager
def door(*, person: UUID | None = None, token_digest: bytes | None = None) -> Iterator[None]:
    """Open only the door tables, to find out who is there. Nothing of any tenant is visible."""
    if _inside.get() is not None:
        raise NotIsolated("the door is behind us; an organisation is open")
    with transaction.atomic(durable=True):
        _set(person=str(person or ""), token=token_digest.hex() if token_digest else "")
        yield


def enter(organisation: UUID, person: UUID) -> None:
    """Within the door's transaction, step up to the organisation that was found there."""
    _set(organisation=str(organisation), person=str(person))


@contextmanager
def as_known(viewer: Viewer, at: datetime) -> Iterator[None]:
    """Within the open organisation, see only what was on record by an instant.

    What was recorded later, corrections too, is not there for any query. It only narrows.
    """
    required(viewer)
    with connection.cursor() as cursor:
        cursor.execute("SELECT set_config('halfpoint.known_at', %s, true)", [_instant(at)])
        yield
        cursor.execute("SELECT set_config('halfpoint.known_at', '', true)")


def required(viewer: Viewer) -> None:
    """Raise NotIsolated unless the viewer's organisation is the open one."""
    if _inside.get() != viewer.organisation:
        raise NotIsolated("the viewer's organisation is not open here")


def whole(answer: HttpResponseBase) -> None:
    """Raise NotIsolated for an answer that would read on when its organisation is shut.

    Rows that a stream asks for after the commit are nobody's: it would end early and look whole.
    """
    if answer.streaming:
        raise NotIsolated("an answer is whole before its transaction ends")


def due(table: str, now: datetime, limit: int) -> list[tuple[UUID, int]]:
    """Return (organisation, id) of rows due by ``now``, oldest first, seen as the relay role.

    ``table`` is one of the relayed tables; the relay sees no more of them than these columns.
    """
    if table not in {"scoring_timer", "scoring_notice"}:
        raise ValueError(f"{table} is not relayed")
    with connections[RELAY].cursor() as cursor:
        cursor.execute(
            f"SELECT organisation_id, id FROM {table} WHERE due_at <= %s"  # noqa: S608 - listed above
            " ORDER BY due_at, id LIMIT %s",
            [now, limit],
        )
        return [(row[0], row[1]) for row in cursor.fetchall()]


def awaiting() -> list[UUID]:
    """Return every organisation that has anything due, now or later, seen as the relay role.

    Each with a yard is among them, since the yard's next sweep is a row.
    """
    with connections[RELAY].cursor() as cursor:
        cursor.execute(
            "SELECT organisation_id FROM scoring_timer WHERE due_at IS NOT NULL"
            " UNION SELECT organisation_id FROM scoring_notice WHERE due_at IS NOT NULL"
        )
        return sorted(row[0] for row in cursor.fetchall())
