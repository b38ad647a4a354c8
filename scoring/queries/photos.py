"""Photos as readers see them: what each is of, and the image alone when it is asked for."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import connection
from django.db.models import Q

from scoring.access import photos as access
from scoring.access import readings
from scoring.models import Photo
from scoring.rules import photo as rule
from yards import audit
from yards.access import doors
from yards.rules.roles import Verb, Viewer

KEPT = "photo.kept"

# An assessment and all that it put right. The organisation's wall is in the database.
_CHAIN = """WITH RECURSIVE chain AS (
        SELECT id, supersedes_id FROM scoring_assessment WHERE id = %s
        UNION ALL SELECT earlier.id, earlier.supersedes_id
        FROM scoring_assessment earlier JOIN chain ON earlier.id = chain.supersedes_id
    ) SELECT id FROM chain"""


@dataclass(frozen=True, slots=True)
class PhotoCard:
    """One photo. ``sha256`` is the digest of what was sent, not of the image that we made."""

    id: UUID
    of: str
    of_id: UUID
    horse: UUID
    side: str
    taken_at: datetime
    sent_at: datetime | None
    received_at: datetime
    corrected_taken_at: datetime
    sha256: str
    width: int
    height: int
    recorded_by: UUID
    receipt: audit.Receipt
    replayed: bool = False


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo in a list: enough to show it small, and to say what it shows."""

    id: UUID
    of: str
    of_id: UUID
    side: str
    at: datetime
    width: int
    height: int


def _of_id(row: Photo) -> UUID:
    """Return the id of what a photo is of; horse, assessment and concern are joined."""
    if row.assessment is not None:
        return row.assessment.ref
    return row.concern.ref if row.concern is not None else row.horse.ref


def card_of(row: Photo, receipt: audit.Receipt, *, replayed: bool = False) -> PhotoCard:
    """Return a photo's row as its card."""
    return PhotoCard(
        id=row.ref,
        of=row.of,
        of_id=_of_id(row),
        horse=row.horse.ref,
        side=row.side,
        taken_at=row.taken_at,
        sent_at=row.sent_at,
        received_at=row.received_at,
        corrected_taken_at=row.corrected_at,
        sha256=bytes(row.sent_sha256).hex(),
        width=row.width,
        height=row.height,
        recorded_by=row.recorded_by_id,
        receipt=receipt,
        replayed=replayed,
    )


def get_photo(viewer: Viewer, ref: UUID) -> PhotoCard:
    """Return one photo without its image; raises NotFound out of scope."""
    readings.require_sight(viewer)
    row = access.photo_for_read(viewer, ref)
    return card_of(row, audit.receipt_for(viewer, verb=KEPT, target_ref=ref))


def get_image(viewer: Viewer, ref: UUID) -> bytes:
    """Return the JPEG of one photo; raises NotFound out of scope, looked up anew each time."""
    readings.require_sight(viewer)
    row = access.photo_for_read(viewer, ref)
    return bytes(Photo.objects.values_list("image", flat=True).get(id=row.id))


def of_readings(viewer: Viewer, refs: Iterable[UUID]) -> dict[UUID, tuple[Shot, ...]]:
    """Return by assessment or concern the photos that were taken of it, in one query."""
    doors.require(viewer, Verb.READ_READINGS)
    wanted = list(refs)
    found: dict[UUID, tuple[Shot, ...]] = {}
    rows = access.photos_in_scope(viewer).select_related("horse", "assessment", "concern")
    for row in rows.filter(Q(assessment__ref__in=wanted) | Q(concern__ref__in=wanted)).order_by(
        "corrected_at", "id"
    ):
        shot = _shot(row)
        found[shot.of_id] = (*found.get(shot.of_id, ()), shot)
    return found


def of_assessment(viewer: Viewer, ref: UUID) -> tuple[Shot, ...]:
    """Return the photos of an assessment; a correction keeps those of what it puts right.

    Raises NotFound out of scope.
    """
    doors.require(viewer, Verb.READ_READINGS)
    newest = readings.assessment_for_read(viewer, ref)
    rows = access.photos_in_scope(viewer).select_related("horse", "assessment", "concern")
    with connection.cursor() as cursor:
        cursor.execute(_CHAIN, [newest.id])
        chain = [key for (key,) in cursor.fetchall()]
    found = rows.filter(assessment_id__in=chain)
    return tuple(_shot(row) for row in found.order_by("corrected_at", "id"))


def of_horse(viewer: Viewer, horse: UUID, *, most: int = 12) -> tuple[Shot, ...]:
    """Return the latest photos of a horse itself, those taken while it was unknown among them."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_READINGS)
    kin = Q(horse_id=subject.id) | Q(horse__merged_into_id=subject.id)
    rows = Photo.objects.defer("image").select_related("horse", "assessment", "concern")
    found = rows.filter(kin, of=rule.HORSE).order_by("-corrected_at", "-id")
    return tuple(_shot(row) for row in found[:most])


def _shot(row: Photo) -> Shot:
    return Shot(row.ref, row.of, _of_id(row), row.side, row.corrected_at, row.width, row.height)
