"""Standings, locked for the writers of one horse, who wait for each other at that row."""

from collections.abc import Collection
from uuid import UUID

from scoring.models import Standing
from yards import isolation
from yards.access import doors
from yards.models import rows
from yards.rules.roles import Viewer

_LOCKED = f"""SELECT {rows.columns(Standing, "standing")} FROM scoring_standing standing
    WHERE horse_id IN (
        SELECT coalesce(horse.merged_into_id, horse.id) FROM yards_horse horse
        WHERE horse.ref = ANY(%(refs)s) AND {doors.IN_SCOPE})
    ORDER BY horse_id FOR NO KEY UPDATE"""  # noqa: S608 - constants only


def locked(viewer: Viewer, refs: Collection[UUID]) -> list[Standing]:
    """Lock, in the one order, the standings of the horses that the viewer may know of; by ids.

    Of an animal that turned out to be another it is the other's standing.
    """
    isolation.required(viewer)
    asked = {"refs": list(refs), **doors.scope_of(viewer)}
    return list(rows.read(_LOCKED, asked, Standing))
