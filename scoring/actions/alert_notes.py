"""Whose an alert is, and what is said about it beside the answers."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any
from uuid import UUID

from scoring.access import alerts as access
from scoring.actions import alerts, lives
from scoring.models import Alert, AlertAct
from scoring.queries import alert_acts, hearers
from scoring.queries import alerts as queries
from scoring.rules import alert_notes
from yards.access import doors
from yards.actions import once
from yards.rules import errors
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

COMMENTED = "alert.commented"


def assign(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime
) -> queries.AlertCard:
    """Make an alert somebody's: ``person`` may answer it now, and is told at every rung.

    The ladder goes on until they answer. The same owner again changes nothing. Raises NotFound,
    NotAllowed, Invalid or Conflict.
    """
    alert = access.alert_for_answer(viewer, ref)
    said = alert_notes.assignment(raw)
    alerts.require_current(alert, said.version)
    if said.person not in {each.id for each in hearers.of_horse(viewer, alert.horse, now=now)}:
        raise errors.Invalid(FieldError("person", "unknown_reference"))
    if alert.owner_id == said.person:
        return queries.get_alert(viewer, ref)
    alert.owner_id = said.person
    alert.version += 1
    alert.save(update_fields=["owner", "version"])
    lives.note(viewer, [alert], "assigned", now, about_id=said.person)
    return alerts.recorded(viewer, alert, "alert.assigned", {"person": str(said.person)}, now)


def comment(viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime) -> alert_acts.Act:
    """Say something about an alert; the same id and text again is a replay.

    An alert that is over is commented too. Raises NotFound, NotAllowed, Invalid or Conflict.
    """
    alert = access.alert_for_comment(viewer, ref)
    said = alert_notes.comment(raw)
    content = {**said.content(), "alert": str(alert.ref)}
    row, is_new = once.insert(_row(viewer, alert, said, now))
    if is_new:
        once.made(viewer, verb=COMMENTED, target=("alert_act", row.ref), content=content, at=now)
        return alert_acts.get_act(viewer, row.ref)
    once.replayed(viewer, verb=COMMENTED, ref=row.ref, content=content)
    return replace(alert_acts.get_act(viewer, row.ref), replayed=True)


def _row(viewer: Viewer, alert: Alert, said: alert_notes.Comment, now: datetime) -> AlertAct:
    return AlertAct(
        organisation_id=viewer.organisation,
        ref=once.new_ref(said.id),
        alert=alert,
        kind="commented",
        at=now,
        by_id=doors.person_of(viewer),
        text=said.text,
    )
