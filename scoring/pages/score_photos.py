"""Photos that come with the scoring form itself, as a browser without scripts sends them.

A photo never holds up a score: the score and every photo that can be read are kept, and what is
wrong with the others is said at their fields.
"""

import hashlib
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any
from uuid import UUID, uuid5

from django.conf import settings
from django.core.files.uploadedfile import UploadedFile

from scoring.actions import photos
from scoring.queries.assessments import AssessmentAnswer
from scoring.rules import photo
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

SIDES = ("left", "right", "rear")
# One photo of the largest size for each side, and a little more that is refused by name.
MOST = len(SIDES) * settings.API_MAX_PHOTO_BODY


def field(side: str) -> str:
    """Return what the field of a side is called."""
    return f"photo-{side}"


def keep(
    viewer: Viewer,
    files: Mapping[str, "UploadedFile[Any]"],
    made: AssessmentAnswer,
    *,
    now: datetime,
) -> tuple[FieldError, ...]:
    """Keep the photos that came with a score; return what is wrong with those that could not be."""
    return tuple(
        fault
        for side in SIDES
        if (sent := files.get(field(side))) is not None
        for fault in _kept(viewer, made, side, sent, now)
    )


def _kept(
    viewer: Viewer, made: AssessmentAnswer, side: str, sent: "UploadedFile[Any]", now: datetime
) -> Iterator[FieldError]:
    # One byte more than is taken, so that a larger one is refused by name.
    image = sent.read(photo.MIB_AT_MOST * 1024 * 1024 + 1)
    digest = hashlib.sha256(image).hexdigest()
    raw = {
        # The same form sent twice is the same photos.
        "id": str(uuid5(UUID(str(made.id)), f"{side} {digest}")),
        "of": photo.ASSESSMENT,
        "of_id": str(made.id),
        "side": side,
        "taken_at": made.taken_at.isoformat(),
        "sha256": digest,
        "image": image,
    }
    try:
        photos.keep_photo(viewer, raw, now=now)
    except errors.Invalid as refused:
        for each in refused.errors:
            yield FieldError(field(side), each.key, each.params)
