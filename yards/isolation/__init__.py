"""The wall between organisations: one transaction, one organisation, held by the database.

Only the edges open it (a page, an API view, a task, a command), outermost and durable. Actions and
queries ask ``required`` and never open or nest it, since an inner setting would outlive its block.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import datetime
from uuid import UUID

from django.db import connection, connections, transaction

from yards.rules.roles import Viewer

_inside: ContextVar[UUID | None] = ContextVar("halfpoint_inside", default=None)

RELAY = "relay"


class NotIsolated(RuntimeError):
    """Work on tenant rows outside their organisation's transaction, or inside another's."""


def _set(organisation: str = "", person: str = "", token: str = "") -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT set_config('halfpoint.organisation', %s, true),"
            " set_config('halfpoint.person', %s, true),"
            " set_config('halfpoint.token', %s, true)",
            [organisation, person, token],
        )


@contextmanager
def of(viewer: Viewer, *, read_only: bool = False) -> Iterator[None]:
    """Open the viewer's organisation for one transaction.

    Raises NotIsolated when one is open already. ``read_only`` lets the database refuse every write.
    """
    if _inside.get() is not None or connection.in_atomic_block:
        raise NotIsolated("an organisation is already open; only the edge opens one")
    with transaction.atomic(durable=True):
        if read_only:
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION READ ONLY")
        _set(str(viewer.organisation), str(viewer.person or ""))
        mark = _inside.set(viewer.organisation)
        try:
            yield
        finally:
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
    _set(str(organisation), str(person))


def required(viewer: Viewer) -> None:
    """Raise NotIsolated unless the viewer's organisation is the open one."""
    if _inside.get() != viewer.organisation:
        raise NotIsolated("the viewer's organisation is not open here")


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
