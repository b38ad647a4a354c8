"""Assessments as they are answered: the reading, what it comes to, and what it set off.

A replay is answered from the rows that the first answer was made of, by the same code.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db.models import Prefetch, QuerySet

from scoring.access import readings
from scoring.models import Alert, AlertSighting, Assessment
from scoring.queries import people, wanting, weighings
from scoring.rules import approximate, overall, scale
from yards import audit
from yards.models import Horse, Yard, rows
from yards.queries import paging, yards
from yards.rules.roles import Viewer

RECORDED = ("assessment.recorded", "assessment.corrected")


@dataclass(frozen=True, slots=True)
class SeenAlert:
    """An alert as it stood when a reading opened or renewed it. ``said`` holds message keys."""

    id: UUID
    horse: UUID
    yard: UUID
    rule: str
    severity: str
    state: str
    opened_at: datetime
    said: Mapping[str, Any]
    vet: yards.VetContact
    version: int


@dataclass(frozen=True, slots=True)
class Band:
    """Low, aim and high in points, as they stood on the day of the reading."""

    low: Decimal
    aim: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class AssessmentAnswer:
    """One assessment and all that the contract answers with it.

    Scores are in points; None where a region was not safe to palpate, and then no overall.
    ``overall`` is the exact mean, which place and alerts go by; ``overall_pelvis_led`` stands
    beside it, and ``overall_rule`` says which of the two the organisation reads first.
    ``assessor`` is the hand that felt; of a correction, ``recorded_by`` is who corrected.
    """

    id: UUID
    horse: UUID
    horse_name: str
    yard: UUID
    taken_at: datetime
    sent_at: datetime | None
    received_at: datetime
    corrected_taken_at: datetime
    scale: str
    scale_version: int
    manner: str
    regions: Mapping[str, Decimal | None] | None
    whole: Decimal | None
    not_safe: tuple[str, ...]
    fat_pocket: str
    by_eye: Decimal | None
    crest: Decimal | None
    findings: Mapping[str, str]
    suggestion: Mapping[str, Any]
    danger_signs: tuple[str, ...]
    looked_for_danger: bool
    appetite: str
    muscle: str
    coat: str
    rug_off: bool | None
    held_by: str
    limits: str
    note: str
    weighing: "weighings.WeighingAnswer | None"
    regions_used: Mapping[str, Decimal | None] | None
    overall: Decimal | None
    overall_nearest_half: Decimal | None
    overall_pelvis_led: Decimal | None
    overall_rule: str
    approximate: approximate.Across | None
    fattest_regions: tuple[str, ...]
    assessor: people.Hand
    recorded_by: UUID
    recorded_by_name: str
    supersedes: UUID | None
    superseded_by: UUID | None
    reason: str
    band: Band | None
    place: str
    alerts: tuple[SeenAlert, ...]
    receipt: audit.Receipt
    time_zone: str
    replayed: bool = False


def _rows(found: QuerySet[Assessment]) -> QuerySet[Assessment]:
    return found.select_related(
        "organisation",
        "horse",
        "yard",
        "assessor",
        "recorded_by",
        "supersedes",
        "weighing",
        "weighing__horse",
        "weighing__yard",
        "weighing__assessor",
        "weighing__recorded_by",
        "weighing__instrument",
        "weighing__supersedes",
    ).prefetch_related(
        Prefetch("superseded_by", queryset=Assessment.objects.only("ref", "supersedes_id")),
    )


def answers(rows: Sequence[Assessment]) -> list[AssessmentAnswer]:
    """Return answers for rows made by ``_rows``, in three queries however many there are."""
    seen = _seen_alerts([row.id for row in rows])
    receipts = audit.receipts_of([row.ref for row in rows], RECORDED)
    weighed = {
        each.id: each
        for each in weighings.answers([row.weighing for row in rows if row.weighing is not None])
    }
    return [
        _answer(
            row,
            tuple(seen[row.id]),
            receipts[row.ref],
            weighed[row.weighing.ref] if row.weighing is not None else None,
            next((later.ref for later in row.superseded_by.all()), None),
            recorder=row.recorded_by.name,
        )
        for row in rows
    ]


def first_answer(
    row: Assessment, receipt: audit.Receipt, *, set_off_alerts: bool
) -> AssessmentAnswer:
    """Return the answer to an assessment that was inserted just now, from the row in hand."""
    alerts = tuple(_seen_alerts([row.id])[row.id]) if set_off_alerts else ()
    weighed = weighings.first_answer(row.weighing, None) if row.weighing is not None else None
    # The first time, whoever records it is the hand.
    return _answer(row, alerts, receipt, weighed, None, recorder=row.assessor.name)


_SIGHTINGS = f"""SELECT {rows.columns(AlertSighting, "sighting")}, {rows.columns(Alert, "alert")},
        {rows.columns(Horse, "horse")}, {rows.columns(Yard, "yard")}
    FROM scoring_alertsighting sighting JOIN scoring_alert alert ON alert.id = sighting.alert_id
    JOIN yards_horse horse ON horse.id = alert.horse_id
    JOIN yards_yard yard ON yard.id = alert.yard_id
    WHERE sighting.assessment_id = ANY(%(of)s) ORDER BY sighting.id"""  # noqa: S608 - constants


def _seen_alerts(of: Sequence[int]) -> dict[int, list[SeenAlert]]:
    """Return by assessment key the alerts that it opened or renewed, in one query."""
    seen: dict[int, list[SeenAlert]] = {each: [] for each in of}
    for values in rows.asked(_SIGHTINGS, {"of": list(seen)}):
        sighting: AlertSighting
        sighting, alert, horse, yard = rows.several(values, AlertSighting, Alert, Horse, Yard)
        sighting.alert, alert.horse, alert.yard = alert, horse, yard
        seen[sighting.assessment_id or 0].append(seen_alert(sighting))
    return seen


def seen_alert(sighting: AlertSighting) -> SeenAlert:
    """Return an alert as it stood at a sighting, whose alert, horse and yard are joined."""
    alert = sighting.alert
    return SeenAlert(
        id=alert.ref,
        horse=alert.horse.ref,
        yard=alert.yard.ref,
        rule=alert.rule,
        severity=sighting.severity,
        state=sighting.state,
        opened_at=alert.opened_at,
        said=sighting.said,
        vet=yards.vet_of(alert.yard),
        version=sighting.version,
    )


def _answer(
    row: Assessment,
    alerts: tuple[SeenAlert, ...],
    receipt: audit.Receipt,
    weighing: "weighings.WeighingAnswer | None",
    superseded_by: UUID | None,
    *,
    recorder: str,
) -> AssessmentAnswer:
    felt = scale.Felt(row.neck, row.back, row.hind) if row.scale == scale.FIVE else None
    used = felt.with_pocket(row.fat_pocket) if felt is not None else None
    nearest = scale.nearest_halves(row.overall_sixths)
    return AssessmentAnswer(
        id=row.ref,
        horse=row.horse.ref,
        horse_name=row.horse.name,
        yard=row.yard.ref,
        taken_at=row.taken_at,
        sent_at=row.sent_at,
        received_at=row.received_at,
        corrected_taken_at=row.corrected_at,
        scale=row.scale,
        scale_version=row.scale_version,
        manner=row.manner,
        regions=felt.points() if felt is not None else None,
        whole=scale.points(row.whole),
        not_safe=_not_safe(row, felt),
        fat_pocket=row.fat_pocket,
        by_eye=scale.points(row.by_eye),
        crest=scale.points(row.crest),
        findings=row.findings,
        suggestion=row.suggestion,
        danger_signs=tuple(row.danger_signs),
        looked_for_danger=row.looked_for_danger,
        appetite=row.appetite,
        muscle=row.muscle,
        coat=row.coat,
        rug_off=row.rug_off,
        held_by=row.held_by,
        limits=row.limits,
        note=row.note,
        weighing=weighing,
        regions_used=used.points() if used is not None else None,
        overall=scale.mean(row.overall_sixths),
        overall_nearest_half=scale.points(nearest),
        overall_pelvis_led=scale.points(overall.pelvis_led(used)) if used is not None else None,
        overall_rule=row.organisation.overall_rule,
        approximate=approximate.across(row.scale, nearest),
        fattest_regions=used.fattest() if used is not None else (),
        assessor=people.Hand(row.assessor.ref, row.assessor.name),
        recorded_by=row.recorded_by_id,
        recorded_by_name=recorder,
        supersedes=row.supersedes.ref if row.supersedes is not None else None,
        superseded_by=superseded_by,
        reason=row.reason,
        band=_band(row),
        place=row.place,
        alerts=alerts,
        receipt=receipt,
        time_zone=row.yard.time_zone,
    )


def _not_safe(row: Assessment, felt: scale.Felt | None) -> tuple[str, ...]:
    if felt is not None:
        return felt.not_safe()
    return () if row.whole is not None else (scale.WHOLE,)


def _band(row: Assessment) -> Band | None:
    if row.band_low is None or row.band_aim is None or row.band_high is None:
        return None
    return Band(row.band_low, row.band_aim, row.band_high)


def get_assessment(viewer: Viewer, ref: UUID) -> AssessmentAnswer:
    """Return one assessment; raises NotFound out of scope."""
    readings.require_sight(viewer)
    readings.assessment_for_read(viewer, ref)
    return answers(list(_rows(Assessment.objects.filter(ref=ref))))[0]


def just_recorded(row_id: int) -> AssessmentAnswer:
    """Return the answer to an assessment that was recorded before, or in another's place."""
    return answers(list(_rows(Assessment.objects.filter(id=row_id))))[0]


def list_assessments(
    viewer: Viewer, wanted: wanting.Wanted, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[AssessmentAnswer]:
    """Return assessments, last received first."""
    readings.require_sight(viewer)
    found = _rows(wanting.narrowed(readings.assessments_in_scope(viewer), wanted))
    return paging.page_of(viewer, found, answers, name="assessments", cursor=cursor, size=size)
