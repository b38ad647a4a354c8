"""Concerns: danger signs seen, with no score; alerts at once."""

from dataclasses import replace
from datetime import datetime
from uuid import UUID

from scoring.actions import hands, judging, subjects
from scoring.models import Concern
from scoring.queries import concerns as queries
from scoring.rules import concern as rule
from yards import audit
from yards.access import doors
from yards.actions import once
from yards.rules import plain
from yards.rules.roles import Verb, Viewer


def record_concern(
    viewer: Viewer, horse: UUID, raw: object, *, now: datetime
) -> queries.ConcernAnswer:
    """Record a concern about a horse and answer what it set off; the same again is a replay.

    Raises NotFound, NotAllowed, Invalid naming every field at fault, or Conflict.
    """
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.RECORD_READINGS)
    checked = rule.check(raw, now=now, subject=subjects.subject(subject))
    content = {**checked.content(), "horse": subject.ref}
    digest = once.digest(content)
    held = subjects.locked(subject)
    row, is_new = once.insert(
        Concern(
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
    )
    if not is_new:
        same = subjects.same_or_conflict(viewer, row, digest)
        return replace(queries.just_recorded(same.id), replayed=True)
    judging.judge(viewer, held, now=now, concern=row)
    audit.record(
        viewer,
        verb=queries.RECORDED,
        target=("concern", row.ref),
        payload=plain.plain(content),
        at=now,
    )
    return queries.just_recorded(row.id)
