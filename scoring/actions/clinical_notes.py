"""A vet's clinical notes: written, and put right by a later one that stands in their place."""

import secrets
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

import rfc8785

from scoring.access import vet
from scoring.models import ClinicalNote
from scoring.queries import clinical_notes as queries
from scoring.rules import clinical_note as rule
from yards.access import doors
from yards.actions import once
from yards.models import Horse
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

WRITTEN, CORRECTED = "clinical_note.written", "clinical_note.corrected"


def write(viewer: Viewer, horse: UUID, raw: object, *, now: datetime) -> queries.NoteCard:
    """Write a note about a horse; the same again is a replay.

    Only a vet may. Raises NotFound, NotAllowed, Invalid, or Conflict for a clash of ids.
    """
    subject = doors.horse_for_write(viewer, horse, Verb.WRITE_CLINICAL)
    return _kept(viewer, subject, rule.check(raw, corrects=False), None, now=now)


def correct(viewer: Viewer, ref: UUID, raw: object, *, now: datetime) -> queries.NoteCard:
    """Let a whole new note, with the reason, stand in the place of the newest of a chain.

    Raises NotFound, NotAllowed, Invalid, or Conflict for one that was corrected already.
    """
    old = vet.note_for_read(viewer, ref)
    doors.require(viewer, Verb.WRITE_CLINICAL)
    said = rule.check(raw, corrects=True)
    # Of two who correct it at once the second waits here, and finds that it was corrected.
    subject = Horse.objects.select_for_update(no_key=True).get(id=old.horse_id)
    return _kept(viewer, subject, said, old, now=now)


def _kept(
    viewer: Viewer,
    horse: Horse,
    said: rule.ClinicalNote,
    old: ClinicalNote | None,
    *,
    now: datetime,
) -> queries.NoteCard:
    verb = WRITTEN if old is None else CORRECTED
    first = ClinicalNote.objects.filter(ref=said.id).first() if said.id is not None else None
    if first is None:
        if old is not None and old.superseded_by.exists():
            raise errors.Conflict(FieldError("", "only_the_newest_is_corrected"))
        row, is_new = once.insert(_row(viewer, horse, said, old, now))
        if is_new:
            content = _content(bytes(row.salt), horse, said, old)
            target = ("clinical_note", row.ref)
            once.made(viewer, verb=verb, target=target, content=content, at=now)
            return queries.card(row.ref)
        first = row
    # Sealed with the first one's salt, the same words are the same seal.
    content = _content(bytes(first.salt), horse, said, old)
    once.replayed(viewer, verb=verb, ref=first.ref, content=content)
    return replace(queries.card(first.ref), replayed=True)


def _row(
    viewer: Viewer,
    horse: Horse,
    said: rule.ClinicalNote,
    old: ClinicalNote | None,
    now: datetime,
) -> ClinicalNote:
    return ClinicalNote(
        organisation_id=viewer.organisation,
        ref=once.new_ref(said.id),
        horse=horse,
        yard_id=horse.yard_id,
        text=said.text,
        supersedes=old,
        reason=said.reason,
        written_by_id=doors.person_of(viewer),
        written_at=now,
        salt=secrets.token_bytes(rule.SALT_BYTES),
    )


def _content(
    salt: bytes, horse: Horse, said: rule.ClinicalNote, old: ClinicalNote | None
) -> dict[str, Any]:
    """Return what the ledger holds: of which horse, what it corrects, the seal of its words."""
    told = rfc8785.dumps({"reason": said.reason, "text": said.text})
    return {
        "horse": horse.ref,
        "supersedes": old.ref if old is not None else None,
        "sealed": rule.seal(salt, told),
    }
