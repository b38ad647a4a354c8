"""Break-glass: asked for by one, approved by another, ended by time or by hand."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from yards import audit, isolation
from yards.access import doors
from yards.actions import after, once
from yards.models import GlassBreak
from yards.rules import errors, fields
from yards.rules import glass as rule
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer

ASKED, APPROVED, ENDED = "glass.asked", "glass.approved", "glass.ended"


def ask(viewer: Viewer, raw: Mapping[str, Any], *, now: datetime) -> UUID:
    """Ask to look at all of the organisation for an hour, restricted horses included.

    Returns the ask's id. Nothing opens before another person approves it.
    """
    isolation.required(viewer)
    doors.require(viewer, Verb.ASK_TO_BREAK_GLASS)
    facts = rule.check(raw)
    ref = once.new_ref(fields.Reader({"id": raw["id"]}).uuid("id") if "id" in raw else None)
    row, is_new = once.insert(
        GlassBreak(
            organisation_id=viewer.organisation,
            ref=ref,
            person_id=doors.person_of(viewer),
            reason=facts.reason,
            asked_at=now,
        )
    )
    if is_new:
        _enter(viewer, ASKED, row, now, reason=facts.reason)
    elif (row.person_id, row.reason) != (viewer.person, facts.reason):
        raise errors.Conflict(FieldError("id", "same_id_other_content"))
    return row.ref


def approve(viewer: Viewer, ref: UUID, *, now: datetime) -> None:
    """Let the asker look from now on, for an hour; raises NotAllowed for one's own ask.

    Raises Conflict for what was approved, ended or waits too long: it is asked for anew then.
    """
    isolation.required(viewer)
    row = _locked(viewer, ref)
    doors.require(viewer, Verb.APPROVE_BREAKING_GLASS)
    if row.person_id == doors.person_of(viewer):
        raise errors.NotAllowed(FieldError("", "glass_by_another"))
    if row.approved_at or row.ended_at or now - row.asked_at > rule.WAITS:
        raise errors.Conflict(FieldError("", "glass_is_over"))
    row.approved_by_id, row.approved_at, row.until_at = viewer.person, now, now + rule.MOST
    row.save(update_fields=["approved_by", "approved_at", "until_at"])
    until = {"until": audit.stamp(row.until_at), "person": str(row.person_id)}
    _enter(viewer, APPROVED, row, now, reason=row.reason, **until)
    after.glass(viewer, row, now)


def end(viewer: Viewer, ref: UUID, *, now: datetime) -> None:
    """End it now: its asker, or whoever may approve; an ask that nobody approved is refused so."""
    isolation.required(viewer)
    row = _locked(viewer, ref)
    if row.person_id != viewer.person:
        doors.require(viewer, Verb.APPROVE_BREAKING_GLASS)
    if row.ended_at or (row.until_at is not None and row.until_at <= now):
        return
    row.ended_by_id, row.ended_at = viewer.person, now
    row.save(update_fields=["ended_by", "ended_at"])
    _enter(viewer, ENDED, row, now, person=str(row.person_id))


def _locked(viewer: Viewer, ref: UUID) -> GlassBreak:
    rows = GlassBreak.objects.select_for_update(no_key=True)
    row = rows.filter(organisation_id=viewer.organisation, ref=ref).first()
    if row is None:
        raise errors.NotFound
    if row.person_id != viewer.person:
        doors.require(viewer, Verb.APPROVE_BREAKING_GLASS)
    return row


def _enter(viewer: Viewer, verb: str, row: GlassBreak, now: datetime, **said: str) -> None:
    audit.record(viewer, verb=verb, target=("glass", row.ref), payload=said, at=now)
