"""Concerns: danger signs seen, with no score; alerts at once."""

from dataclasses import replace
from datetime import datetime
from uuid import UUID

from scoring.actions import hands, judging, standing, subjects
from scoring.models import Concern
from scoring.queries import concerns as queries
from scoring.rules import concern as rule
from yards import audit
from yards.access import doors
from yards.actions import once
from yards.models import Horse
from yards.rules import plain
from yards.rules.roles import Verb, Viewer


def record_concern(
    viewer: Viewer, horse: UUID, raw: object, *, now: datetime
) -> queries.ConcernAnswer:
    """Record a concern about a horse and answer what it set off; the same again is a replay.

    Raises NotFound, NotAllowed, Invalid naming every field at fault, or Conflict.
    """
    sent = raw.get("id") if isinstance(raw, dict) else None
    first = subjects.first_of(Concern, viewer, sent)
    if first is not None and first.horse.ref == horse:
        doors.require(viewer, Verb.RECORD_READINGS)
        known = subjects.timeless(first.horse)
        again = rule.check(raw, now=first.received_at, subject=known)
        return _replayed(viewer, first, once.digest({**again.content(), "horse": horse}))
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.RECORD_READINGS)
    held = subjects.locked(subject)
    subject = doors.horse_for_read(viewer, horse)  # as it is after the wait
    checked = rule.check(raw, now=now, subject=subjects.subject(subject))
    content = {**checked.content(), "horse": subject.ref}
    digest = once.digest(content)
    row, is_new = once.insert(_row(viewer, subject, checked, digest, now=now))
    if not is_new:
        return _replayed(viewer, row, digest)
    if held.check_days is not None:
        standing.settle(viewer, held, now)  # whoever saw it looked in on it
    judging.judge(viewer, held, now=now, concern=row)
    audit.record(
        viewer,
        verb=queries.RECORDED,
        target=("concern", row.ref),
        payload=plain.plain(content),
        at=now,
    )
    return queries.just_recorded(row.id)


def _row(
    viewer: Viewer, subject: Horse, checked: rule.Concern, digest: bytes, *, now: datetime
) -> Concern:
    return Concern(
        organisation_id=viewer.organisation,
        ref=once.new_ref(checked.id),
        horse=subject,
        yard=subjects.yard_at(subject, checked.corrected_at),
        assessor=hands.hand_of(viewer, now=now),
        recorded_by_id=doors.person_of(viewer),
        token_ref=viewer.token,
        taken_at=checked.taken_at,
        sent_at=checked.sent_at,
        received_at=now,
        corrected_at=checked.corrected_at,
        content_digest=digest,
        danger_signs=list(checked.danger_signs),
        note=checked.note,
    )


def _replayed(viewer: Viewer, row: Concern, digest: bytes) -> queries.ConcernAnswer:
    same = subjects.same_or_conflict(viewer, row, digest)
    return replace(queries.just_recorded(same.id), replayed=True)
