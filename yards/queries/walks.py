"""The walking order of a yard, as readers see it."""

from dataclasses import dataclass
from uuid import UUID

from django.db.models import F
from django.db.models.expressions import OrderBy

from yards.access import doors
from yards.rules.roles import Verb, Viewer, may


@dataclass(frozen=True, slots=True)
class WalkHorse:
    """A horse on the walk; ``placed`` is False for one that comes last because nobody placed it."""

    ref: UUID
    name: str
    placed: bool


@dataclass(frozen=True, slots=True)
class WalkCard:
    """The horses of a yard that are here, in walking order, and the order's version.

    ``may_order``: the viewer may set it.
    """

    yard: UUID
    yard_name: str
    time_zone: str
    version: int
    horses: tuple[WalkHorse, ...]
    may_order: bool


def by_walk(horse: str = "") -> tuple[OrderBy | str, ...]:
    """Return how rows are ordered: by the place on the walk, those without one last by name.

    ``horse`` is the way from the queried table to the horse, with its two underscores.
    """
    place = F(f"{horse}walk_place").asc(nulls_last=True)
    return place, f"{horse}name_key", f"{horse}id"


def get_walk(viewer: Viewer, yard: UUID) -> WalkCard:
    """Return a yard's walk, the horses in scope on it; raises NotFound or NotAllowed."""
    place = doors.yard_for_read(viewer, yard)
    doors.require(viewer, Verb.READ_HORSES)
    rows = doors.horses_in_scope(viewer).filter(yard_id=place.id, status="present")
    found = rows.order_by(*by_walk()).values_list("ref", "name", "walk_place")
    return WalkCard(
        place.ref,
        place.name,
        place.time_zone,
        place.walk_version,
        tuple(WalkHorse(ref, name, number is not None) for ref, name, number in found),
        may(viewer, Verb.WALK_ROUNDS) and doors.sees_whole(viewer, place),
    )
