"""Whose hand a reading is by: one assessor a person and organisation, made when first needed."""

from datetime import datetime

import uuid_utils.compat as uuid_utils

from scoring.models import Assessor
from yards import isolation
from yards.access import doors, viewers
from yards.models import User, rows
from yards.rules.roles import Role, Viewer

KINDS = {Role.COORDINATOR: "staff", Role.VET: "vet"}
# Asked with every reading.
_HAND = f"""SELECT {rows.columns(Assessor, "hand")} FROM scoring_assessor hand
    WHERE person_id = %(person)s"""  # noqa: S608 - constants only


def hand_of(viewer: Viewer, *, now: datetime) -> Assessor:
    """Return the viewer's assessor in this organisation, made when there is none yet.

    A vet's hand is a vet's from the first reading on; other roles with a grant of their own are
    staff, the rest volunteers.
    """
    isolation.required(viewer)
    found = next(rows.read(_HAND, {"person": viewer.person}, Assessor), None)
    if found is not None:
        return found
    name = User.objects.values_list("name", flat=True).get(id=doors.person_of(viewer))
    Assessor.objects.bulk_create(
        [
            Assessor(
                organisation_id=viewer.organisation,
                ref=uuid_utils.uuid7(),
                person_id=viewer.person,
                name=name,
                kind=_kind(viewer, now),
                created_at=now,
            )
        ],
        ignore_conflicts=True,
    )
    return Assessor.objects.get(person_id=viewer.person)


def _kind(viewer: Viewer, now: datetime) -> str:
    role: Role | None = viewer.role
    if role is Role.DEVICE:
        # A phone carries only a device's rights, but the hand that holds it is its person's.
        role = viewers.role_of(viewer.organisation, doors.person_of(viewer), now)
    return KINDS.get(role, "volunteer") if role is not None else "volunteer"
