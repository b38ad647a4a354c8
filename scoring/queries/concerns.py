"""Concerns as they are answered."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from scoring.models import AlertSighting, Concern
from scoring.queries import assessments, people
from yards import audit

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
    row = Concern.objects.select_related("horse", "yard", "assessor").get(id=row_id)
    sightings = (
        AlertSighting.objects.filter(concern_id=row.id)
        .select_related("alert", "alert__horse", "alert__yard")
        .order_by("id")
    )
    receipts = audit.receipts_of([row.ref], [RECORDED])
    return ConcernAnswer(
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
        alerts=tuple(assessments.seen_alert(each) for each in sightings),
        receipt=receipts[row.ref],
        time_zone=row.yard.time_zone,
    )
