"""A concern as it comes in: something seen that cannot wait for a score."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from scoring.rules import clocks, danger
from yards.rules import plain
from yards.rules.fields import Reader, given

NOTE_MOST = 4000


@dataclass(frozen=True, slots=True)
class Concern:
    """A checked concern. ``taken_at`` is when it was seen, by the device's clock."""

    id: UUID | None
    taken_at: datetime
    sent_at: datetime | None
    corrected_at: datetime
    skew_seconds: int | None
    danger_signs: tuple[str, ...]
    note: str

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        apart = frozenset({"id", "sent_at", "corrected_at", "skew_seconds"})
        return plain.content(self, without=apart)


def check(raw: object, *, now: datetime, subject: clocks.Subject) -> Concern:
    """Return a concern, or raise Invalid naming every fault; a sign or a note there must be."""
    reader = Reader(raw)
    ref = reader.uuid("id")
    taken = clocks.read(reader, "seen_at", now=now, subject=subject)
    signs = reader.choices("danger_signs", danger.signs())
    note = reader.text("note", most=NOTE_MOST, lines=True)
    if not signs and not note and not reader.faults:
        reader.refuse("danger_signs", "sign_or_note")
    reader.finish()
    when = given(taken)
    return Concern(
        ref, when.taken_at, when.sent_at, when.corrected_at, when.skew_seconds, signs, note
    )
