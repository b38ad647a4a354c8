"""Doors to photos: in scope by where the horse stands now, or one's own for a device."""

from uuid import UUID

from django.db.models import QuerySet

from scoring.models import Photo
from yards import isolation
from yards.access import doors
from yards.rules import errors
from yards.rules.roles import Role, Viewer


def photos_in_scope(viewer: Viewer) -> QuerySet[Photo]:
    """Return the photos that the viewer may know of, without their images.

    Those of an unknown animal that turned out to be another go with that one too.
    """
    isolation.required(viewer)
    found = Photo.objects.defer("image")
    if viewer.role is Role.DEVICE:
        return found.filter(token_ref=viewer.token)
    return found.filter(doors.scope_of_kin(viewer))


def photo_for_read(viewer: Viewer, ref: UUID) -> Photo:
    """Return one photo without its image, or raise NotFound."""
    joined = photos_in_scope(viewer).select_related("horse", "assessment", "concern")
    found = joined.filter(ref=ref).first()
    if found is None:
        raise errors.NotFound
    return found
