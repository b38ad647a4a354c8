"""An unknown animal, scored before anybody knew it, joins the one it turned out to be."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from yards.access import doors
from yards.actions import after, horses, once, stays
from yards.models import Horse
from yards.rules import errors, move
from yards.rules import horse as rule
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

MERGED = "horse.merged"


def merge_horse(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime
) -> once.Changed:
    """Merge the unknown animal ``ref`` into the identified horse that the body's ``into`` names.

    The unknown's row stays, ended and pointing at the other; its events and readings are read with
    the other's from now on, and its note on handling is added to the other's, so that no caution is
    lost. Raises Invalid at ``into`` for a horse unknown, elsewhere or out of scope, all alike, or
    one that cannot be it. The same merge again is a replay.
    """
    unknown = doors.horse_for_write(viewer, ref, Verb.CHANGE_HORSES)
    facts = move.check_merge(raw)
    into = doors.horses_in_scope(viewer).filter(ref=facts.into).first()
    if into is None:
        raise errors.Invalid(FieldError("into", "unknown_reference"))
    if unknown.merged_into_id == into.id:
        receipt = once.receipt(viewer, verb=MERGED, ref=ref)
        return once.Changed(ref, unknown.version, receipt)
    horses.require_here(unknown)
    into = Horse.objects.select_for_update(no_key=True, of=("self",)).get(id=into.id)
    _require_one_animal(unknown, into)
    stays.cut(stays.last(unknown), now)
    unknown.status, unknown.ended_at, unknown.merged_into = "merged", now, into
    horses.save(unknown, "status", "ended_at", "merged_into")
    said = {**facts.content(), **_cautioned(unknown, into)}
    after.merged(viewer, unknown, now, into)
    return once.changed(
        viewer, verb=MERGED, target=("horse", ref), version=unknown.version, said=said, at=now
    )


def _cautioned(unknown: Horse, into: Horse) -> dict[str, Any]:
    """Note on the known horse what was noted of the unknown; return what changed there, if any.

    Lines that stand there already are not said twice. The two together may be longer than what may
    be typed: nothing is cut here, since to leave a caution out is for whoever edits the note next.
    """
    known = into.handling
    lines = known.splitlines()
    fresh = [each for each in unknown.handling.splitlines() if each and each not in lines]
    if not fresh:
        return {}
    into.handling = "\n".join([*([known] if known else []), *fresh])
    horses.save(into, "handling")
    return {"changed": once.differences({"handling": known}, {"handling": into.handling})}


def _require_one_animal(unknown: Horse, into: Horse) -> None:
    """Raise Invalid unless the one is unknown, the other known, and both could be one animal."""
    if not unknown.is_unknown or unknown.status not in rule.HERE:
        raise errors.Invalid(FieldError("", "only_unknown_animals_merge"))
    if into.is_unknown or into.status not in rule.HERE:
        raise errors.Invalid(FieldError("into", "not_an_identified_horse_here"))
    if into.species != unknown.species:
        raise errors.Invalid(FieldError("into", "other_species"))
