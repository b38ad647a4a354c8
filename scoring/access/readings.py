"""Doors to readings: in scope, or one's own for a device, or not found.

Those of an unknown animal that turned out to be another go with that one too.
"""

from uuid import UUID

from django.db.models import QuerySet

from scoring.models import Assessment, Concern, Weighing
from yards import isolation
from yards.access import doors
from yards.rules import errors
from yards.rules.roles import Role, Verb, Viewer


def require_sight(viewer: Viewer) -> None:
    """Raise NotAllowed unless the viewer may read readings, or at least their own."""
    wanted = Verb.READ_OWN_READINGS if viewer.role is Role.DEVICE else Verb.READ_READINGS
    doors.require(viewer, wanted)


def assessments_in_scope(viewer: Viewer) -> QuerySet[Assessment]:
    """Return the assessments that the viewer may know of; a device knows only its own."""
    isolation.required(viewer)
    if viewer.role is Role.DEVICE:
        return Assessment.objects.filter(token_ref=viewer.token)
    return Assessment.objects.filter(doors.scope_of_kin(viewer))


def weighings_in_scope(viewer: Viewer) -> QuerySet[Weighing]:
    """Return the weighings that the viewer may know of; a device knows only its own."""
    isolation.required(viewer)
    if viewer.role is Role.DEVICE:
        return Weighing.objects.filter(token_ref=viewer.token)
    return Weighing.objects.filter(doors.scope_of_kin(viewer))


def concerns_in_scope(viewer: Viewer) -> QuerySet[Concern]:
    """Return the concerns that the viewer may know of; a device knows only its own."""
    isolation.required(viewer)
    if viewer.role is Role.DEVICE:
        return Concern.objects.filter(token_ref=viewer.token)
    return Concern.objects.filter(doors.scope_of_kin(viewer))


def assessment_for_read(viewer: Viewer, ref: UUID) -> Assessment:
    """Return one assessment with the hands that took it and its weight, or raise NotFound."""
    rows = assessments_in_scope(viewer).select_related("assessor", "weighing__assessor")
    found = rows.filter(ref=ref).first()
    if found is None:
        raise errors.NotFound
    return found


def weighing_for_read(viewer: Viewer, ref: UUID) -> Weighing:
    """Return one weighing with the hand that took it, or raise NotFound."""
    found = weighings_in_scope(viewer).select_related("assessor").filter(ref=ref).first()
    if found is None:
        raise errors.NotFound
    return found
