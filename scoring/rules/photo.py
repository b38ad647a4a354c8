"""A photo as it comes in: whole, of something, from some side. What it shows is nobody's to judge.

The bytes are told by their SHA-256, which the sender gives along: a photo that broke off on the way
is refused and sent again, never kept half. Photos are not read as pictures here: see ``picture``.
"""

import hashlib
import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from scoring.rules import clocks
from yards.rules import plain
from yards.rules.fields import Reader, given

ASSESSMENT, CONCERN, HORSE = "assessment", "concern", "horse"
OF = (ASSESSMENT, CONCERN, HORSE)
# A mark is whatever tells an animal from another: whorl, brand, scar, white sock.
SIDES = ("left", "right", "rear", "mark")
MIB_AT_MOST = 8

_SHA256 = re.compile(r"[0-9a-f]{64}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Photo:
    """A checked photo: what it is of, and the bytes as they were sent."""

    id: UUID | None
    of: str
    of_id: UUID
    side: str
    taken_at: datetime
    sent_at: datetime | None
    corrected_at: datetime
    sha256: str
    image: bytes

    def content(self) -> dict[str, Any]:
        """Return what a replay must match; the digest stands for the bytes."""
        apart = frozenset({"id", "sent_at", "corrected_at", "image"})
        return plain.content(self, without=apart)


def check(raw: object, *, now: datetime) -> Photo:
    """Return a photo, or raise Invalid naming every fault; ``image`` comes as bytes."""
    reader = Reader(raw)
    ref = reader.uuid("id")
    of = reader.choice("of", OF, required=True)
    of_id = reader.uuid("of_id", required=True)
    side = reader.choice("side", SIDES, required=True)
    taken = clocks.read(reader, "taken_at", now=now, subject=None)
    image = _image(reader)
    told = _told(reader, image)
    reader.finish()
    when = given(taken)
    return Photo(
        id=ref,
        of=of,
        of_id=given(of_id),
        side=side,
        taken_at=when.taken_at,
        sent_at=when.sent_at,
        corrected_at=when.corrected_at,
        sha256=told,
        image=given(image),
    )


def _image(reader: Reader) -> bytes | None:
    sent = reader.raw("image")
    if not isinstance(sent, bytes):
        reader.refuse("image", "required" if sent is None else "photo_not_a_file")
        return None
    if not sent:
        reader.refuse("image", "photo_empty")
    if len(sent) > MIB_AT_MOST * 1024 * 1024:
        reader.refuse("image", "photo_too_large", mib=MIB_AT_MOST)
    return sent


def _told(reader: Reader, image: bytes | None) -> str:
    """Return the digest that was told, which must be that of the bytes that came."""
    told = reader.text("sha256", most=64, required=True).lower()
    if told and not _SHA256.fullmatch(told):
        reader.refuse("sha256", "not_a_sha256")
    elif told and image and hashlib.sha256(image).hexdigest() != told:
        reader.refuse("sha256", "photo_broken_off")
    return told
