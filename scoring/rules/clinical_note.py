"""A vet's clinical note as it comes in, and the seal that stands for its words in the ledger.

The ledger is read by auditors, and whole, so the words of a note never enter it: what does is the
SHA-256 of a salt of the note's own and the RFC 8785 bytes of what it says. Whoever holds the note
can show that it is the one recorded; whoever holds the ledger alone cannot try out what it says.
"""

import hashlib
from dataclasses import dataclass
from uuid import UUID

from yards.rules.fields import Reader

TEXT_MOST, REASON_MOST, SALT_BYTES = 8000, 500, 32


@dataclass(frozen=True, slots=True)
class ClinicalNote:
    """A checked note. ``reason`` is why a note is corrected, empty for a first one."""

    id: UUID | None
    text: str
    reason: str


def check(raw: object, *, corrects: bool) -> ClinicalNote:
    """Return a note, or raise Invalid naming every fault; a correction says why."""
    reader = Reader(raw)
    ref = reader.uuid("id")
    text = reader.text("text", most=TEXT_MOST, required=True, lines=True)
    reason = reader.text("reason", most=REASON_MOST, required=True) if corrects else ""
    reader.finish()
    return ClinicalNote(ref, text, reason)


def seal(salt: bytes, told: bytes) -> str:
    """Return what the ledger holds of a note: a hash that nobody without the salt can try."""
    return hashlib.sha256(salt + told).hexdigest()
