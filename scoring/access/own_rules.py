"""Doors to exceptions: of the yards and horses in scope, or not found."""

from uuid import UUID

from django.db.models import Q, QuerySet

from scoring.models import RuleException
from scoring.rules import threshold
from yards import isolation
from yards.access import doors
from yards.rules import errors
from yards.rules.roles import Verb, Viewer


def rule_known(name: str) -> None:
    """Raise NotFound unless there is such a rule."""
    if name not in threshold.rules():
        raise errors.NotFound


def exceptions_in_scope(viewer: Viewer) -> QuerySet[RuleException]:
    """Return the exceptions of yards and horses that the viewer may know of."""
    isolation.required(viewer)
    found = RuleException.objects.filter(organisation_id=viewer.organisation)
    if viewer.sees_all:
        return found
    return found.filter(
        Q(yard__in=doors.yards_in_scope(viewer)) | Q(horse__in=doors.horses_in_scope(viewer))
    )


def exception_for_read(viewer: Viewer, ref: UUID) -> RuleException:
    """Return one exception with yard or horse, or raise NotFound or NotAllowed."""
    found = exceptions_in_scope(viewer).select_related("yard", "horse__yard")
    row = found.filter(ref=ref).first()
    if row is None:
        raise errors.NotFound
    doors.require(viewer, Verb.READ_RULES)
    return row


def exception_for_end(viewer: Viewer, ref: UUID) -> RuleException:
    """Return one that the viewer may end: a yard's by a coordinator, a horse's by a vet too."""
    row = exception_for_read(viewer, ref)
    doors.require(viewer, Verb.CHANGE_RULES if row.horse_id is None else Verb.EXCEPT_HORSES)
    return row


def exception_locked(row: RuleException) -> RuleException:
    """Return it locked for change; standings are locked before."""
    locked = RuleException.objects.select_for_update(no_key=True, of=("self",))
    return locked.select_related("yard", "horse__yard").get(id=row.id)
