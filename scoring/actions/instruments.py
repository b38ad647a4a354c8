"""Weigh tapes and weighbridges, each an instrument of its own."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from scoring.models import Instrument
from scoring.queries import instruments
from scoring.rules import instrument as rule
from yards.access import doors
from yards.actions import once
from yards.rules import errors
from yards.rules.roles import Verb, Viewer

ADDED = "instrument.added"


def add_instrument(
    viewer: Viewer, raw: Mapping[str, Any], *, now: datetime
) -> instruments.InstrumentCard:
    """Add a weigh tape or weighbridge, to a yard or to the whole organisation.

    Raises NotAllowed, Invalid naming the fields, or Conflict for the same id with other content.
    """
    doors.require(viewer, Verb.CHANGE_INSTRUMENTS)
    wanted = rule.check(raw)
    yard, content = _yard(viewer, wanted.yard), wanted.content()
    row, is_new = once.insert(
        Instrument(
            organisation_id=viewer.organisation,
            ref=once.new_ref(wanted.id),
            kind=wanted.kind,
            label=wanted.label,
            yard_id=yard,
            created_at=now,
            content_digest=once.digest(content),
        )
    )
    if is_new:
        once.made(viewer, verb=ADDED, target=("instrument", row.ref), content=content, at=now)
    else:
        once.replayed(viewer, verb=ADDED, ref=row.ref, content=content)
    return replace(instruments.get_instrument(viewer, row.ref), replayed=not is_new)


def _yard(viewer: Viewer, ref: UUID | None) -> int | None:
    if ref is None:
        return None
    found = doors.yards_in_scope(viewer).filter(ref=ref).values_list("id", flat=True).first()
    if found is None:
        raise errors.Invalid(errors.FieldError("yard", "unknown_reference"))
    return int(found)
