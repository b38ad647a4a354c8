"""Clinical notes, for those who may read them; nothing else in the house reads their words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet

from scoring.access import vet
from scoring.models import ClinicalNote
from yards.access import doors
from yards.queries import paging
from yards.queries.people import PersonName
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class NoteCard:
    """A note, and what it corrects or is corrected by; ``reason`` is why it corrects another."""

    id: UUID
    horse: UUID
    horse_name: str
    text: str
    written_by: PersonName
    written_at: datetime
    supersedes: UUID | None
    superseded_by: UUID | None
    reason: str
    replayed: bool = False


def list_notes(
    viewer: Viewer, horse: UUID, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[NoteCard]:
    """Return a horse's notes, newest first, corrected ones too; raises NotFound or NotAllowed."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_CLINICAL)
    rows = vet.notes_in_scope(viewer)
    return paging.page_of(
        viewer,
        _joined(rows.filter(Q(horse_id=subject.id) | Q(horse__merged_into_id=subject.id))),
        _cards,
        name=f"clinical notes of {horse}",
        cursor=cursor,
        size=size,
    )


def get_note(viewer: Viewer, ref: UUID) -> NoteCard:
    """Return one note; raises NotFound or NotAllowed."""
    vet.note_for_read(viewer, ref)
    return card(ref)


def card(ref: UUID) -> NoteCard:
    """Return one note that the caller has found to be within reach."""
    return _cards([_joined(ClinicalNote.objects.filter(ref=ref)).get()])[0]


def _joined(rows: QuerySet[ClinicalNote]) -> QuerySet[ClinicalNote]:
    return rows.select_related("horse__merged_into", "written_by", "supersedes")


def _cards(rows: Sequence[ClinicalNote]) -> list[NoteCard]:
    after = ClinicalNote.objects.filter(supersedes_id__in=[each.id for each in rows])
    newer = dict(after.values_list("supersedes_id", "ref"))
    return [
        NoteCard(
            id=row.ref,
            horse=(row.horse.merged_into or row.horse).ref,
            horse_name=(row.horse.merged_into or row.horse).name,
            text=row.text,
            written_by=PersonName(row.written_by_id, row.written_by.name),
            written_at=row.written_at,
            supersedes=row.supersedes.ref if row.supersedes is not None else None,
            superseded_by=newer.get(row.id),
            reason=row.reason,
        )
        for row in rows
    ]
