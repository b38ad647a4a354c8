"""Registering, changing and moving horses, donkeys and mules.

What happened to one is in ``events``, an unknown animal's joining another in ``merges``.
"""

import json
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from yards import audit, isolation
from yards.access import doors
from yards.actions import after, once, stays
from yards.models import EntryPayload, Horse, Stay, Yard
from yards.rules import daytime, errors, event, move
from yards.rules import horse as rule
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

REGISTERED, CHANGED, MOVED = "horse.registered", "horse.changed", "horse.moved"
# What a change of the note on handling alone says.
HANDLING = frozenset({"handling", "version"})
# The furthest that any local date runs ahead of UTC.
_FIRST_TO_SEE_A_DAY = timedelta(hours=14)


def yard_named(viewer: Viewer, ref: UUID, field: str = "yard") -> Yard:
    """Return a yard that a body names; one unknown, elsewhere or out of scope is refused alike."""
    yard = doors.yards_in_scope(viewer).filter(ref=ref).first()
    if yard is None:
        raise errors.Invalid(FieldError(field, "unknown_reference"))
    return yard


def require_here(horse: Horse) -> None:
    """Raise Conflict for a row that was merged into another: that one is the horse now."""
    if horse.status == "merged":
        raise errors.Conflict(FieldError("", "merged_into_another"))


def register_horse(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> once.Made:
    """Register a horse with its first stay, from api.md's horse body.

    The stay begins at ``arrived_at``, by default now. Whoever records events may register an
    unknown animal, to be merged when it is known; the rest is the coordinator's.
    """
    isolation.required(viewer)
    unknown = isinstance(raw, Mapping) and raw.get("is_unknown") is True
    doors.require(viewer, Verb.RECORD_EVENTS if unknown else Verb.CHANGE_HORSES)
    facts = rule.check(raw, today=(now + _FIRST_TO_SEE_A_DAY).date())
    content = facts.content()
    if facts.id is not None and _is_taken(viewer, facts.id):
        return once.replayed(viewer, verb=REGISTERED, ref=facts.id, content=content)
    arrived = facts.arrived_at or now
    if arrived > now + event.AHEAD:
        raise errors.Invalid(FieldError("arrived_at", "in_the_future"))
    horse, is_new = once.insert(
        Horse(
            organisation_id=viewer.organisation,
            ref=once.new_ref(facts.id),
            yard=yard_named(viewer, facts.yard),
            created_at=now,
            **facts.columns(),
        )
    )
    if not is_new:
        return once.replayed(viewer, verb=REGISTERED, ref=horse.ref, content=content)
    stays.begin(horse, horse.yard, arrived)
    after.horse(after.horse_made, viewer, horse, now)
    return once.made(viewer, verb=REGISTERED, target=("horse", horse.ref), content=content, at=now)


def _is_taken(viewer: Viewer, ref: UUID) -> bool:
    return Horse.objects.filter(organisation_id=viewer.organisation, ref=ref).exists()


def change_horse(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime
) -> once.Changed:
    """Change the facts of a horse that were sent, from the version that the sender saw.

    A status of dead or rehomed sets the end and closes the stay; back to present or away undoes
    both. Whoever records events may change the note on handling; the rest is the coordinator's.
    Raises Conflict when somebody else changed the horse since.
    """
    only_handling = isinstance(raw, Mapping) and "handling" in raw and raw.keys() <= HANDLING
    verb = Verb.RECORD_EVENTS if only_handling else Verb.CHANGE_HORSES
    horse = doors.horse_for_write(viewer, ref, verb)
    change = rule.check_change(
        raw,
        species=horse.species,
        sex=horse.sex,
        breeding=horse.breeding,
        use=horse.use,
        today=_today(horse, now),
    )
    once.require_version(horse.version, change.version)
    require_here(horse)
    values = dict(change.changes)
    before = {name: getattr(horse, name) for name in (*values, "ended_at")}
    status = values.pop("status", horse.status)
    for name, value in values.items():
        setattr(horse, name, value)
    hooks = _settle(horse, status, change.ended_at, now)
    after_all = {name: getattr(horse, name) for name in before}
    save(horse, *after_all)
    if not only_handling:
        after.horse(hooks, viewer, horse, now)
    return once.changed(
        viewer,
        verb=CHANGED,
        target=("horse", ref),
        version=horse.version,
        said=once.differences(before, after_all),
        at=now,
    )


def _today(horse: Horse, now: datetime) -> date:
    return daytime.local_date(now, horse.yard.time_zone)


def _settle(
    horse: Horse, status: str, ended_at: datetime | None, now: datetime
) -> list[after.OfHorse]:
    """Bring status, end and stay into agreement; return the hooks that the change calls for."""
    is_gone = horse.ended_at is not None
    if status not in rule.HERE:
        if is_gone and status == horse.status and ended_at is None:
            return after.horse_changed
        stays.end(horse, status, ended_at or horse.ended_at or now, now, "ended_at")
        return after.horse_ended
    if is_gone:
        stays.come_back(horse, status, now)
    horse.status = status
    return after.horse_changed


def save(horse: Horse, *names: str) -> None:
    """Save what changed of a horse, as its next version."""
    horse.version += 1
    horse.save(update_fields=[*names, "version"])


def move_horse(viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime) -> once.Changed:
    """Move a horse to another yard at an instant, by default now: one stay ends, the next begins.

    Raises Invalid at ``yard`` for one that the viewer may not know of or where it stands already,
    at ``at`` for the future or before the current stay began. The same move again is a replay.
    """
    horse = doors.horse_for_write(viewer, ref, Verb.MOVE_HORSES)
    facts = move.check(raw, now=now)
    require_here(horse)
    before = _moved_already(horse, facts)
    if before is not None:
        return once.Changed(ref, horse.version, _receipt_of(viewer, ref, before))
    if horse.status not in rule.HERE:
        raise errors.Invalid(FieldError("", "no_longer_here"))
    yard = yard_named(viewer, facts.yard)
    if yard.id == horse.yard_id:
        raise errors.Invalid(FieldError("yard", "already_there"))
    old, at = horse.yard, facts.at or now
    stays.close(stays.last(horse), at)
    stay = stays.begin(horse, yard, at, facts.id)
    horse.yard, horse.walk_place = yard, None
    save(horse, "yard", "walk_place")
    after.horse(after.horse_moved, viewer, horse, now)
    said = {"stay": stay.ref, "from": old.ref, "to": yard.ref, "at": at}
    return once.changed(
        viewer, verb=MOVED, target=("horse", ref), version=horse.version, said=said, at=now
    )


def _moved_already(horse: Horse, facts: move.Move) -> Stay | None:
    """Return the stay that this very move began, if it did; raise Conflict for a taken id."""
    if facts.id is None:
        stay = stays.last(horse)
        is_same = stay.yard.ref == facts.yard and stay.from_at == facts.at
        return stay if is_same and stay.until_at is None else None
    found = Stay.objects.filter(organisation_id=horse.organisation_id, ref=facts.id)
    first = found.select_related("yard").first()
    if first is None:
        return None
    is_same = first.horse_id == horse.id and first.yard.ref == facts.yard
    if not (is_same and facts.at in {None, first.from_at}):
        raise errors.Conflict(FieldError("id", "same_id_other_content"))
    return first


def _receipt_of(viewer: Viewer, horse: UUID, stay: Stay) -> audit.Receipt:
    """Return the receipt of the move that began a stay, or of the registration."""
    moves = EntryPayload.objects.filter(entry__verb=MOVED, entry__target_ref=horse)
    for said in moves.select_related("entry").order_by("-id"):
        if json.loads(bytes(said.payload)).get("stay") == str(stay.ref):
            return audit.Receipt(said.entry.ref, bytes(said.entry.leaf).hex())
    return audit.receipt_for(viewer, verb=REGISTERED, target_ref=horse)
