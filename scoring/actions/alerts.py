"""Alerts: brought in line with what the rules found, and answered by people."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from scoring.access import alerts as access
from scoring.actions import episodes, escalation, lives, notices
from scoring.models import Alert, Assessment, Concern
from scoring.queries import alerts as queries
from scoring.rules import alert_answer, ladder, life, risk
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
    require_current(alert, said.version)
    alert.next_step, alert.note = said.next_step, said.note
    alert.acknowledged_at, alert.acknowledged_by_id = now, viewer.person
    alert.owner_id = alert.owner_id or viewer.person
    after = life.acknowledged(lives.of(alert), said.by)
    kept = ("next_step", "acknowledged_at", "acknowledged_by", "note", "owner")
    _lived(viewer, alert, after, now, *kept)
    text = f"{said.next_step}\n{said.note}".strip()
    lives.note(viewer, [alert], "acknowledged", now, text=text, due_at=said.by)
    payload = {"next_step": said.next_step, "by": audit.stamp(said.by), "note": said.note}
    return recorded(viewer, alert, "alert.acknowledged", payload, now)


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
    require_current(alert, said.version)
    alert.resolved_at, alert.resolved_by_id = now, viewer.person
    alert.resolution, alert.resolve_reason = episodes.BY_PERSON, said.reason
    alert.vet_said = said.vet_said
    kept = ("resolved_at", "resolved_by", "resolution", "resolve_reason", "vet_said")
    _lived(viewer, alert, life.resolved(lives.of(alert)), now, *kept)
    lives.note(viewer, [alert], "resolved", now, text=said.reason)
    notices.call_off(viewer, [alert.id], notices.ALERT)
    episodes.count_open(viewer, [alert.horse_id])
    payload = {"reason": said.reason, "vet_said": said.vet_said}
    return recorded(viewer, alert, "alert.resolved", payload, now)


def snooze(
    viewer: Viewer, ref: UUID, raw: Mapping[str, Any], *, now: datetime
) -> queries.AlertCard:
    """Put an alert off ``until`` an instant, with the ``reason``; then people are told again.

    Who puts it off has it: they are its owner, unless somebody else is already.
    Urgent alerts cannot be put off: acknowledge them with a next step, or resolve them. Raises
    NotFound, NotAllowed, Invalid or Conflict.
    """
    alert = access.alert_for_answer(viewer, ref)
    severity = ladder.URGENT if alert.rule in ladder.PROTECTED else alert.severity
    said = alert_answer.snooze(raw, severity=severity, now=now)
    require_current(alert, said.version)
    alert.snooze_reason, alert.snoozed_by_id = said.reason, viewer.person
    alert.owner_id = alert.owner_id or viewer.person
    after = life.snoozed(lives.of(alert), said.until)
    _lived(viewer, alert, after, now, "snooze_reason", "snoozed_by", "owner")
    lives.note(viewer, [alert], "snoozed", now, text=said.reason, due_at=said.until)
    payload = {"until": audit.stamp(said.until), "reason": said.reason}
    return recorded(viewer, alert, "alert.snoozed", payload, now)


def require_current(alert: Alert, version: int | None) -> None:
    """Raise Conflict unless the alert can still be answered, and is as the viewer saw it."""
    if alert.state == episodes.RESOLVED:
        raise errors.Conflict(errors.FieldError("state", "alert_is_resolved"))
    if version is not None and version != alert.version:
        raise errors.Conflict(errors.FieldError("version", "stale_version"))


def _lived(viewer: Viewer, alert: Alert, after: life.Life, now: datetime, *columns: str) -> None:
    """Write what an answer made of an alert; the ladder it stood on is called off."""
    lives.keep(alert, after)
    alert.version += 1
    alert.save(update_fields=[*lives.COLUMNS, *columns, "version"])
    escalation.call_off(viewer, [alert.id], now=now)
    lives.plan(viewer, [alert], now=now)


def recorded(
    viewer: Viewer, alert: Alert, verb: str, payload: dict[str, Any], now: datetime
) -> queries.AlertCard:
    audit.record(viewer, verb=verb, target=("alert", alert.ref), payload=payload, at=now)
    return queries.get_alert(viewer, alert.ref)
