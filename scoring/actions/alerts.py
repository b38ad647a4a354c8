"""Alerts: brought in line with what the rules found, and answered by people."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from scoring.access import alerts as access
from scoring.actions import episodes, escalation, notices, timer_rows
from scoring.models import Alert, Assessment, Concern
from scoring.queries import alerts as queries
from scoring.rules import alert_answer, ladder, risk
from yards import audit
from yards.access import doors
from yards.models import Horse, Yard
from yards.rules import errors
from yards.rules.roles import Role, Verb, Viewer


def apply(
    viewer: Viewer,
    *,
    horse: Horse,
    yard: Yard,
    findings: Sequence[risk.Finding],
    judged: frozenset[str],
    now: datetime,
    assessment: Assessment | None = None,
    concern: Concern | None = None,
    is_reading: bool = False,
) -> list[Alert]:
    """Bring one horse's alerts in line with what was found; return those opened or renewed.

    In the caller's transaction, with the horse's standing locked; the caller writes the ledger's
    entry. ``yard`` is where the horse stands now. Rules not in ``judged`` are left as they stand.
    """
    changes = episodes.apply_all(
        viewer,
        [episodes.Verdict(horse, findings, judged)],
        yard=yard,
        now=now,
        cause=episodes.Cause(assessment, concern, is_reading=is_reading),
    )
    return sorted([*changes.opened, *changes.renewed], key=lambda alert: alert.id)


def acknowledge(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime
) -> queries.AlertCard:
    """Take an alert on: ``next_step``, ``by`` when (by default as its severity asks), a note.

    Stops the escalation. When the time passes and nobody was with the horse since, the alert opens
    again and the ladder starts anew. Raises NotFound, NotAllowed, Invalid or Conflict.
    """
    alert = access.alert_for_answer(viewer, ref)
    said = alert_answer.acknowledgement(raw, severity=alert.severity, now=now)
    _require_current(alert, said.version)
    alert.state, alert.next_step, alert.next_step_by = "acknowledged", said.next_step, said.by
    alert.acknowledged_at, alert.acknowledged_by_id, alert.note = now, viewer.person, said.note
    _kept(alert, "state", "next_step", "next_step_by", "acknowledged_at", "acknowledged_by", "note")
    escalation.call_off(viewer, [alert.id], now=now)
    _timed(viewer, alert, timer_rows.FOLLOW_UP, said.by, now)
    payload = {"next_step": said.next_step, "by": audit.stamp(said.by), "note": said.note}
    return _recorded(viewer, alert, "alert.acknowledged", payload, now)


def resolve(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime
) -> queries.AlertCard:
    """Close an alert with a ``reason``.

    One that protects life is closed only by a vet, or by a coordinator who records what the vet
    said (``vet_said``). Raises NotFound, NotAllowed, Invalid or Conflict.
    """
    alert = access.alert_for_answer(viewer, ref)
    is_protected = alert.rule in ladder.PROTECTED
    if is_protected:
        doors.require(viewer, Verb.RESOLVE_PROTECTED)
    must_speak = is_protected and viewer.role is not Role.VET
    said = alert_answer.resolution(raw, vet_must_speak=must_speak)
    _require_current(alert, said.version)
    alert.state, alert.resolved_at, alert.resolved_by_id = "resolved", now, viewer.person
    alert.resolution, alert.resolve_reason = episodes.BY_PERSON, said.reason
    alert.vet_said = said.vet_said
    _kept(alert, "state", "resolved_at", "resolved_by", "resolution", "resolve_reason", "vet_said")
    escalation.call_off(viewer, [alert.id], now=now)
    notices.call_off(viewer, [alert.id], notices.ALERT)
    episodes.count_open(viewer, [alert.horse_id])
    payload = {"reason": said.reason, "vet_said": said.vet_said}
    return _recorded(viewer, alert, "alert.resolved", payload, now)


def snooze(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime
) -> queries.AlertCard:
    """Put an alert off ``until`` an instant, with the ``reason``; then people are told again.

    Urgent alerts cannot be put off: acknowledge them with a next step, or resolve them. Raises
    NotFound, NotAllowed, Invalid or Conflict.
    """
    alert = access.alert_for_answer(viewer, ref)
    severity = ladder.URGENT if alert.rule in ladder.PROTECTED else alert.severity
    said = alert_answer.snooze(raw, severity=severity, now=now)
    _require_current(alert, said.version)
    alert.state, alert.snoozed_until, alert.snooze_reason = "snoozed", said.until, said.reason
    _kept(alert, "state", "snoozed_until", "snooze_reason")
    escalation.call_off(viewer, [alert.id], now=now)
    _timed(viewer, alert, timer_rows.SNOOZE_END, said.until, now)
    payload = {"until": audit.stamp(said.until), "reason": said.reason}
    return _recorded(viewer, alert, "alert.snoozed", payload, now)


def _require_current(alert: Alert, version: int | None) -> None:
    """Raise Conflict unless the alert can still be answered, and is as the viewer saw it."""
    if alert.state == episodes.RESOLVED:
        raise errors.Conflict(errors.FieldError("state", "alert_is_resolved"))
    if version is not None and version != alert.version:
        raise errors.Conflict(errors.FieldError("version", "stale_version"))


def _kept(alert: Alert, *fields: str) -> None:
    alert.version += 1
    alert.save(update_fields=[*fields, "version"])


def _timed(viewer: Viewer, alert: Alert, kind: str, at: datetime, now: datetime) -> None:
    planned = timer_rows.Planned(
        kind=kind, due_at=at, about=(str(alert.ref), str(alert.version)), alert=alert.id
    )
    timer_rows.plan(viewer, [planned], now=now)


def _recorded(
    viewer: Viewer, alert: Alert, verb: str, payload: dict[str, Any], now: datetime
) -> queries.AlertCard:
    audit.record(viewer, verb=verb, target=("alert", alert.ref), payload=payload, at=now)
    return queries.get_alert(viewer, alert.ref)
