"""Making and changing yards."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from yards import isolation
from yards.access import doors
from yards.actions import after, once
from yards.models import Yard
from yards.rules import yard as rule
from yards.rules.roles import Verb, Viewer

MADE, CHANGED = "yard.made", "yard.changed"
# What the season, and with it the yard's sweep, hangs on.
SEASONAL = frozenset({"time_zone", "hemisphere", "spring_first", "spring_last"})


def make_yard(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """Make a yard from api.md's yard body; the same id and content again is a replay."""
    isolation.required(viewer)
    doors.require(viewer, Verb.CHANGE_YARDS)
    facts = rule.check(raw)
    yard, is_new = once.insert(
        Yard(
            organisation_id=viewer.organisation,
            ref=once.new_ref(facts.id),
            created_at=now,
            **facts.columns(),
        )
    )
    if not is_new:
        return once.replayed(viewer, verb=MADE, ref=yard.ref, content=facts.content())
    after.yard(after.yard_made, viewer, yard, now)
    return once.made(viewer, verb=MADE, target=("yard", yard.ref), content=facts.content(), at=now)


def change_yard(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime
) -> once.Changed:
    """Change the parts of a yard that were sent, from the version that the sender saw.

    Raises Conflict when somebody else changed the yard since.
    """
    yard = doors.yard_for_write(viewer, ref)
    change = rule.check_change(raw)
    once.require_version(yard.version, change.version)
    before = {name: getattr(yard, name) for name in change.changes}
    said = once.differences(before, change.changes)
    for name, value in change.changes.items():
        setattr(yard, name, value)
    yard.version += 1
    yard.save(update_fields=[*change.changes, "version"])
    if SEASONAL & said["after"].keys():
        after.yard(after.yard_changed, viewer, yard, now)
    return once.changed(
        viewer, verb=CHANGED, target=("yard", ref), version=yard.version, said=said, at=now
    )
