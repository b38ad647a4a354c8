"""Every photo of one animal by its day, of readings and concerns too, to be laid side by side."""

from uuid import UUID

from scoring.models import Photo
from scoring.queries import evidence
from scoring.queries.photos import Shot
from yards.access import doors
from yards.rules.roles import Verb, Viewer

# The newest; a list to choose from that is longer is searched by nobody.
MOST = 200


def every(viewer: Viewer, horse: UUID) -> tuple[Shot, ...]:
    """Return the photos of a horse, oldest first, those of when it was unknown among them."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_READINGS)
    rows = (
        Photo.objects.filter(horse_id__in=evidence.family(subject.id))
        .defer("image")
        .order_by("-corrected_at", "-id")[:MOST]
    )
    return tuple(
        Shot(row.ref, row.of, horse, row.side, row.corrected_at, row.width, row.height)
        for row in reversed(rows)
    )
