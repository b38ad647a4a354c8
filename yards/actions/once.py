"""One id makes one row, however often and however concurrently it is sent.

The same id with the same content is a replay and answers as the first time did; with other content
it is refused, and nothing is written.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar
from uuid import UUID

import rfc8785
import uuid_utils.compat as uuid_utils
from django.db import IntegrityError, transaction
from django.db.models import QuerySet

from yards import audit
from yards.models import EntryPayload, Owned
from yards.rules import errors, plain
from yards.rules.roles import Viewer

Row = TypeVar("Row", bound=Owned)


@dataclass(frozen=True, slots=True)
class Made:
    """What a create gave: the row's ref, whether it was there already, the ledger's receipt."""

    ref: UUID
    replay: bool
    receipt: audit.Receipt


@dataclass(frozen=True, slots=True)
class Changed:
    """What a change gave: the row's ref, its version now, the ledger's receipt."""

    ref: UUID
    version: int
    receipt: audit.Receipt


def differences(before: Mapping[str, Any], after: Mapping[str, Any]) -> dict[str, Any]:
    """Return what an entry says of a change: each field that differs, before and after."""
    named = [name for name in after if after[name] != before[name]]
    return {
        "before": {name: plain.plain(before[name]) for name in named},
        "after": {name: plain.plain(after[name]) for name in named},
    }


def digest(content: Mapping[str, Any]) -> bytes:
    """Return the SHA-256 of the RFC 8785 bytes of the content."""
    return hashlib.sha256(rfc8785.dumps(plain.plain(content))).digest()


def new_ref(given: UUID | None) -> UUID:
    """Return the id that the client made, or a UUIDv7 of ours."""
    return given or uuid_utils.uuid7()


def insert(row: Row) -> tuple[Row, bool]:
    """Insert a row, or return the one that holds its ref already; True when it is new.

    Of concurrent inserts with one ref the later ones wait for the first and find its row.
    """
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        first = _named(row).first()
        if first is None:
            raise
        return first, False
    return row, True


def first(row: Row) -> Row:
    """Return the row that holds a ref already."""
    return _named(row).get()


def _named(row: Row) -> QuerySet[Row]:
    return QuerySet(type(row)).filter(organisation_id=row.organisation_id, ref=row.ref)


def replayed(viewer: Viewer, *, verb: str, ref: UUID, content: Mapping[str, Any]) -> Made:
    """Answer a create whose id is taken: a replay, or raise Conflict.

    The content is compared with what the ledger says was written at first, since the row itself may
    have changed after. Same content from another hand is not the same.
    """
    first = (
        EntryPayload.objects.filter(entry__verb=verb, entry__target_ref=ref)
        .select_related("entry")
        .order_by("id")
        .first()
    )
    same = (
        first is not None
        and first.entry.actor == audit.actor_of(viewer)
        and _content_of(bytes(first.payload)) == digest(content)
    )
    if first is None or not same:
        raise errors.Conflict(errors.FieldError("id", "same_id_other_content"))
    return Made(ref, True, audit.Receipt(first.entry.ref, bytes(first.entry.leaf).hex()))


def _content_of(payload: bytes) -> bytes:
    """Return the digest of what an entry of ``made`` says; its bytes are canonical already."""
    return hashlib.sha256(payload).digest()


def made(
    viewer: Viewer,
    *,
    verb: str,
    target: tuple[str, UUID],
    content: Mapping[str, Any],
    at: datetime,
) -> Made:
    """Write the one entry of a create; ``replayed`` compares with it."""
    receipt = audit.record(viewer, verb=verb, target=target, payload=plain.plain(content), at=at)
    return Made(target[1], False, receipt)


def receipt(viewer: Viewer, *, verb: str, ref: UUID) -> audit.Receipt:
    """Return the receipt that was given when this was first done to a target."""
    return audit.receipt_for(viewer, verb=verb, target_ref=ref)


def changed(
    viewer: Viewer,
    *,
    verb: str,
    target: tuple[str, UUID],
    version: int,
    said: Mapping[str, Any],
    at: datetime,
) -> Changed:
    """Write the one entry of a change."""
    receipt = audit.record(viewer, verb=verb, target=target, payload=plain.plain(said), at=at)
    return Changed(target[1], version, receipt)


def require_version(stands: int, seen: int) -> None:
    """Raise Conflict unless the sender saw the row as it stands."""
    if stands != seen:
        raise errors.Conflict(errors.FieldError("version", "stale_version", {"version": stands}))
