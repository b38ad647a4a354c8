"""Setting the walking order of a yard; the next round goes by it, whoever walks it."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from yards.access import doors
from yards.actions import once
from yards.models import Horse, Yard
from yards.rules import errors, walk
from yards.rules import horse as horse_rule
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

ORDERED = "yard.walk_ordered"


def order_walk(
    viewer: Viewer, yard: UUID, raw: Mapping[str, Any], *, now: datetime
) -> once.Changed:
    """Set the order in which a yard's horses are walked, from the version that the sender saw.

    Horses that are left out have no place any more: they come last, by name. Raises NotAllowed for
    somebody who may know only some of the yard's horses, Invalid for one that does not stand there,
    Conflict when somebody else set the order since.
    """
    place = doors.yard_for_walk(viewer, yard)
    facts = walk.check(raw)
    once.require_version(place.walk_version, facts.version)
    here = _standing_in(place)
    _require_here(viewer, facts, here)
    before = sorted((each for each in here.values() if each.walk_place), key=_place)
    said = once.differences(
        {"horses": [each.ref for each in before]}, {"horses": list(facts.horses)}
    )
    places = {ref: number for number, ref in enumerate(facts.horses, start=1)}
    for ref, horse in here.items():
        # One that is away for a time is not left out; it comes back to where it was.
        if ref in places or horse.status == "present":
            horse.walk_place = places.get(ref)
    Horse.objects.bulk_update(here.values(), ["walk_place"])
    place.walk_version += 1
    place.save(update_fields=["walk_version"])
    return once.changed(
        viewer, verb=ORDERED, target=("yard", yard), version=place.walk_version, said=said, at=now
    )


def _place(horse: Horse) -> int:
    return horse.walk_place or 0


def _standing_in(yard: Yard) -> dict[UUID, Horse]:
    """Return the horses that stand in a yard, locked in the one order, so that none moves now."""
    rows = Horse.objects.select_for_update(no_key=True)
    found = rows.filter(yard_id=yard.id, status__in=horse_rule.HERE)
    return {each.ref: each for each in found.order_by("id")}


def _require_here(viewer: Viewer, facts: walk.Walk, here: Mapping[UUID, Horse]) -> None:
    strange = [ref for ref in facts.horses if ref not in here]
    if not strange:
        return
    known = set(doors.horses_in_scope(viewer).filter(ref__in=strange).values_list("ref", flat=True))
    raise errors.Invalid(
        *(
            FieldError(
                f"horses.{facts.horses.index(ref)}",
                "not_in_this_yard" if ref in known else "unknown_reference",
            )
            for ref in strange
        )
    )
