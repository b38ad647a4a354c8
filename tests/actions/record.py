"""What the tests of actions share: a time, the ledger read back, and racing threads."""

import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from typing import Any, TypeVar
from uuid import UUID

from django.db import connection

from tests.conftest import viewer_of
from yards import isolation
from yards.models import Entry, EntryPayload
from yards.rules import errors
from yards.rules.roles import Viewer

NOW = datetime(2026, 4, 12, 10, 0, tzinfo=UTC)
Answer = TypeVar("Answer")


def entries(target: UUID) -> list[tuple[str, str, datetime, dict[str, Any]]]:
    """Return (verb, actor, at, payload) of a target's entries, first to last."""
    return [
        (entry.verb, entry.actor, entry.at, payload_of(entry))
        for entry in Entry.objects.filter(target_ref=target).order_by("id")
    ]


def payload_of(entry: Entry) -> dict[str, Any]:
    said: dict[str, Any] = json.loads(bytes(EntryPayload.objects.get(entry=entry).payload))
    return said


def refused(call: Callable[[], object]) -> tuple[type[errors.Refused], list[tuple[str, str]]]:
    """Return how a call was refused, and at which fields with which keys."""
    try:
        call()
    except errors.Refused as refusal:
        return type(refusal), [(each.field, each.key) for each in refusal.errors]
    raise AssertionError("it was let through")


def racing(key: str, work: Callable[[Viewer], Answer], threads: int = 8) -> list[Answer]:
    """Do the same work in so many threads at once, each with a connection of its own."""

    def once(_: int) -> Answer:
        try:
            viewer = viewer_of(key)
            with isolation.of(viewer):
                return work(viewer)
        finally:
            connection.close()

    with ThreadPoolExecutor(threads) as pool:
        return list(pool.map(once, range(threads)))
