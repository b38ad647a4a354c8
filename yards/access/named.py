"""Horses by the ids that a reading names, with all that a reading asks of them."""

from collections.abc import Collection, Sequence
from typing import Any
from uuid import UUID

from yards import isolation
from yards.access import doors
from yards.models import Horse, Organisation, Yard, rows
from yards.rules.roles import Viewer

_HORSES = f"""SELECT {rows.columns(Horse, "horse")}, {rows.columns(Yard, "yard")},
        {rows.columns(Organisation, "organisation")}
    FROM yards_horse horse JOIN yards_yard yard ON yard.id = horse.yard_id
    JOIN yards_organisation organisation ON organisation.id = horse.organisation_id
    WHERE horse.ref = ANY(%(refs)s) AND {doors.IN_SCOPE}"""  # noqa: S608 - constants only


def horses(viewer: Viewer, refs: Collection[UUID]) -> list[Horse]:
    """Return the horses with these ids that the viewer may know of, with yard and organisation."""
    isolation.required(viewer)
    return [
        _horse(each) for each in rows.asked(_HORSES, {"refs": list(refs), **doors.scope_of(viewer)})
    ]


def _horse(values: Sequence[Any]) -> Horse:
    horse: Horse
    horse, horse.yard, horse.organisation = rows.several(values, Horse, Yard, Organisation)
    return horse
