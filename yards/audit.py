"""Writes the ledger: one entry a change, in the change's own transaction."""

import hashlib
import secrets
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from uuid import UUID

import rfc8785
import uuid_utils.compat as uuid_utils
from django.db import connection

from yards import isolation
from yards.models import Entry
from yards.rules.roles import Viewer

VERSION = 1
# Both rows by one statement: every change writes them.
_WRITTEN = """WITH entry AS (
        INSERT INTO yards_entry (organisation_id, ref, at, actor, via, verb, target_kind,
            target_ref, body, leaf)
        VALUES (%(organisation)s, %(ref)s, %(at)s, %(actor)s, %(via)s, %(verb)s, %(kind)s,
            %(target)s, %(body)s, %(leaf)s)
        RETURNING id)
    INSERT INTO yards_entrypayload (organisation_id, ref, entry_id, salt, payload)
    SELECT %(organisation)s, %(payload_ref)s, id, %(salt)s, %(payload)s FROM entry"""


@dataclass(frozen=True, slots=True)
class Receipt:
    """Proof to the writer that the entry was made: its id and its leaf hash."""

    entry: UUID
    leaf: str


def stamp(at: datetime) -> str:
    """Return an instant as UTC text with microseconds, one form only."""
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def leaf_of(body: bytes) -> bytes:
    """Return the RFC 9162 leaf hash of an entry's bytes."""
    return hashlib.sha256(b"\x00" + body).digest()


def actor_of(viewer: Viewer) -> str:
    """Name who acts, without personal data."""
    if viewer.person is None:
        return "system"
    return f"person:{viewer.person}"


def record(
    viewer: Viewer,
    *,
    verb: str,
    target: tuple[str, UUID | None],
    payload: Mapping[str, Any],
    at: datetime,
) -> Receipt:
    """Write one entry and return its receipt.

    Names, notes and contacts belong in ``payload``; the entry itself holds only its salted hash, so
    that a payload can be erased and every proof still holds. RFC 8785 for the bytes.
    """
    isolation.required(viewer)
    kind, target_ref = target
    salt, said = secrets.token_bytes(32), rfc8785.dumps(dict(payload))
    entry: dict[str, Any] = {
        "ref": uuid_utils.uuid7(),
        "organisation": viewer.organisation,
        "at": at,
        "actor": actor_of(viewer),
        "via": viewer.via,
        "verb": verb,
        "kind": kind,
        "target": target_ref,
    }
    body = _body(entry, hashlib.sha256(salt + said).hexdigest())
    leaf = leaf_of(body)
    of_payload: dict[str, Any] = {"payload_ref": uuid_utils.uuid7(), "salt": salt, "payload": said}
    with connection.cursor() as cursor:
        cursor.execute(_WRITTEN, {**entry, "body": body, "leaf": leaf, **of_payload})
    return Receipt(entry["ref"], leaf.hex())


def _body(entry: Mapping[str, Any], payload_sha256: str) -> bytes:
    target = entry["target"]
    return rfc8785.dumps(
        {
            "v": VERSION,
            "id": str(entry["ref"]),
            "organisation": str(entry["organisation"]),
            "at": stamp(entry["at"]),
            "actor": entry["actor"],
            "via": entry["via"],
            "verb": entry["verb"],
            "target": {"kind": entry["kind"], "id": str(target) if target else None},
            "payload_sha256": payload_sha256,
        }
    )


def receipt_for(viewer: Viewer, *, verb: str, target_ref: UUID) -> Receipt:
    """Return the receipt that was given when the target was recorded."""
    isolation.required(viewer)
    entry = Entry.objects.filter(verb=verb, target_ref=target_ref).order_by("id")[0]
    return Receipt(entry.ref, bytes(entry.leaf).hex())


def receipts_of(refs: Iterable[UUID], verbs: Iterable[str]) -> dict[UUID, Receipt]:
    """Return the receipts that were given when targets were recorded, by target, in one query."""
    found = Entry.objects.filter(target_ref__in=list(refs), verb__in=list(verbs))
    return {
        entry.target_ref: Receipt(entry.ref, bytes(entry.leaf).hex())
        for entry in found.only("ref", "leaf", "target_ref")
        if entry.target_ref is not None
    }
