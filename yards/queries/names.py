"""What things are called that others only point to: horses, yards and people, by id."""

from collections.abc import Iterable
from uuid import UUID

from yards.access import doors
from yards.models import User
from yards.queries import people
from yards.rules.roles import Viewer


def of(viewer: Viewer, refs: Iterable[UUID]) -> dict[UUID, str]:
    """Return the names of those that the viewer may know of, in three queries; others lack."""
    asked = set(refs)
    here = people.grants_here(viewer).filter(person__in=asked)
    return {
        **dict(User.objects.filter(id__in=here.values("person_id")).values_list("id", "name")),
        **dict(doors.yards_in_scope(viewer).filter(ref__in=asked).values_list("ref", "name")),
        **dict(doors.horses_in_scope(viewer).filter(ref__in=asked).values_list("ref", "name")),
    }
