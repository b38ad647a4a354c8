"""Concerns as they are answered."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet

from scoring.models import AlertSighting, Concern
from scoring.queries import assessments, people
from yards import audit
from yards.access import doors
from yards.rules.roles import Verb, Viewer

RECORDED = "concern.recorded"


@dataclass(frozen=True, slots=True)
class ConcernAnswer:
    """A concern, and the alerts that it opened or renewed."""

    id: UUID
    horse: UUID
    horse_name: str
    yard: UUID
    seen_at: datetime
    sent_at: datetime | None
    received_at: datetime
    corrected_seen_at: datetime
    danger_signs: tuple[str, ...]
    note: str
    assessor: people.Hand
    recorded_by: UUID
    alerts: tuple[assessments.SeenAlert, ...]
    receipt: audit.Receipt
    time_zone: str
    replayed: bool = False


def just_recorded(row_id: int) -> ConcernAnswer:
    """Return the answer to a concern that the caller has just recorded or found replayed."""
    return _answers(_rows(Concern.objects.filter(id=row_id)))[0]


def list_concerns(viewer: Viewer, horse: UUID, *, most: int = 20) -> list[ConcernAnswer]:
    """Return a horse's latest concerns, last seen first; raises NotFound or NotAllowed."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_READINGS)
    kin = Q(horse_id=subject.id) | Q(horse__merged_into_id=subject.id)
    return _answers(_rows(Concern.objects.filter(kin).order_by("-corrected_at", "-id")[:most]))


def _rows(found: QuerySet[Concern]) -> list[Concern]:
    return list(found.select_related("horse", "yard", "assessor"))


def _answers(rows: list[Concern]) -> list[ConcernAnswer]:
    sightings = defaultdict(list)
    for each in (
        AlertSighting.objects.filter(concern_id__in=[row.id for row in rows])
        .select_related("alert", "alert__horse", "alert__yard")
        .order_by("id")
    ):
        sightings[each.concern_id].append(assessments.seen_alert(each))
    receipts = audit.receipts_of([row.ref for row in rows], [RECORDED])
    return [
        ConcernAnswer(
            id=row.ref,
            horse=row.horse.ref,
            horse_name=row.horse.name,
            yard=row.yard.ref,
            seen_at=row.taken_at,
            sent_at=row.sent_at,
            received_at=row.received_at,
            corrected_seen_at=row.corrected_at,
            danger_signs=tuple(row.danger_signs),
            note=row.note,
            assessor=people.Hand(row.assessor.ref, row.assessor.name),
            recorded_by=row.recorded_by_id,
            alerts=tuple(sightings[row.id]),
            receipt=receipts[row.ref],
            time_zone=row.yard.time_zone,
        )
        for row in rows
    ]
