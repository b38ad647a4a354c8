"""The ledger, as its readers see it: what was done, by whom, when, and what it says."""

import json
from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any
from uuid import UUID

from django.db.models import Q, QuerySet

from yards import isolation
from yards.access import doors
from yards.models import Entry, EntryPayload, Grant, HorseEvent, User
from yards.queries import filters, paging
from yards.rules import errors, said
from yards.rules.roles import Verb, Viewer, may

# By the kind of a target: the refs of that kind that a viewer may know of. A reader whose grant
# names yards or horses sees the entries of these targets only; scoring's app config adds its kinds.
Refs = Callable[[Viewer], QuerySet[Any, UUID]]
targets_in_scope: dict[str, Refs] = {
    "yard": lambda viewer: doors.yards_in_scope(viewer).values_list("ref", flat=True),
    "horse": lambda viewer: doors.horses_in_scope(viewer).values_list("ref", flat=True),
    "event": lambda viewer: HorseEvent.objects.filter(
        horse__in=doors.horses_in_scope(viewer)
    ).values_list("ref", flat=True),
}


@dataclass(frozen=True, slots=True)
class EntryRow:
    """One entry. ``body`` is its RFC 8785 bytes, ``leaf`` their RFC 9162 leaf hash in hex.

    ``payload`` is None when it has been erased; with ``salt`` (hex) it proves ``payload_sha256``
    in the body. ``actor_name`` is the person's name today, and no part of the entry. ``withheld``
    says that the reader's grant does not show all of the payload; the salt is withheld with it.
    """

    ref: UUID
    at: datetime
    actor: str
    actor_name: str
    via: str
    verb: str
    target_kind: str
    target_ref: UUID | None
    body: bytes
    leaf: str
    salt: str | None
    payload: dict[str, Any] | None
    withheld: bool = False


def _scope(viewer: Viewer) -> Q:
    if viewer.sees_all:
        return Q()
    # With every yard in scope, but not every horse, what is of no horse stays to be seen.
    seen = ~Q(target_kind__in=targets_in_scope) if viewer.yards is None else Q(pk__in=())
    for kind, refs in targets_in_scope.items():
        seen |= Q(target_kind=kind, target_ref__in=refs(viewer))
    return seen


def _person(actor: str) -> str:
    kind, _, key = actor.partition(":")
    return key if kind == "person" else ""


def rows_of(viewer: Viewer, entries: list[Entry]) -> list[EntryRow]:
    """Return rows of entries; payloads and names of all come in one query each."""
    told = partial(
        said.told,
        contacts=may(viewer, Verb.READ_CONTACTS),
        notes=may(viewer, Verb.READ_NOTES),
    )
    payloads = {
        each.entry_id: each
        for each in EntryPayload.objects.filter(entry__in=[entry.id for entry in entries])
    }
    people = {_person(entry.actor) for entry in entries} - {""}
    names = {
        str(key): name for key, name in User.objects.filter(id__in=people).values_list("id", "name")
    }
    return [
        _row(entry, payloads.get(entry.id), names.get(_person(entry.actor), ""), told)
        for entry in entries
    ]


def _row(
    entry: Entry, kept: EntryPayload | None, actor_name: str, told: Callable[..., said.Told]
) -> EntryRow:
    whole = json.loads(bytes(kept.payload)) if kept else None
    payload, withheld = told(whole, entry.verb) if whole is not None else (None, False)
    return EntryRow(
        ref=entry.ref,
        at=entry.at,
        actor=entry.actor,
        actor_name=actor_name,
        via=entry.via,
        verb=entry.verb,
        target_kind=entry.target_kind,
        target_ref=entry.target_ref,
        body=bytes(entry.body),
        leaf=bytes(entry.leaf).hex(),
        salt=bytes(kept.salt).hex() if kept and not withheld else None,
        payload=payload,
        withheld=withheld,
    )


def list_entries(
    viewer: Viewer,
    *,
    target: UUID | None = None,
    verb: str | None = None,
    verbs: Collection[str] = (),
    cursor: str | None = None,
    size: int = paging.SIZE,
) -> paging.Page[EntryRow]:
    """Return the entries that the viewer may read, newest first; of ``verbs`` if any are named.

    Whoever sees all of the organisation reads all of its ledger, the auditors' looks included.
    """
    doors.require(viewer, Verb.READ_LEDGER)
    rows = Entry.objects.filter(_scope(viewer), organisation_id=viewer.organisation)
    if target is not None:
        rows = rows.filter(target_ref=target)
    if verb:
        rows = rows.filter(verb=filters.readable("verb", verb))
    if verbs:
        rows = rows.filter(verb__in=verbs)
    return paging.page_of(
        viewer, rows, partial(rows_of, viewer), name="ledger", cursor=cursor, size=size
    )


def list_of_person(viewer: Viewer, person: UUID) -> list[EntryRow]:
    """Return the entries that a person made or that are about them, oldest first.

    What the viewer may not know of is left out.
    """
    doors.require(viewer, Verb.READ_LEDGER)
    grants = Grant.objects.filter(organisation_id=viewer.organisation, person=person)
    about = Q(target_ref__in=grants.values("ref")) | Q(target_kind="person", target_ref=person)
    theirs = Q(actor=f"person:{person}") | about
    rows = Entry.objects.filter(_scope(viewer), theirs, organisation_id=viewer.organisation)
    return rows_of(viewer, list(rows.order_by("pk")))


def get_entry(viewer: Viewer, ref: UUID) -> EntryRow:
    """Return one entry, or raise NotFound, for one out of scope too, or NotAllowed."""
    isolation.required(viewer)
    found = Entry.objects.filter(
        _scope(viewer), organisation_id=viewer.organisation, ref=ref
    ).first()
    if found is None:
        raise errors.NotFound
    doors.require(viewer, Verb.READ_LEDGER)
    return rows_of(viewer, [found])[0]
