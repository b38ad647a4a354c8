"""Everything that was read of one animal, as a drawing and its table tell it: two queries."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from scoring.models import Assessment, Weighing
from scoring.rules import reading, scale

GIRTHS = {"heart_girth": "girth_cm", "belly_girth": "belly_girth_cm"}


@dataclass(frozen=True, slots=True)
class Score:
    """One assessment. Points; ``used`` says whether the trend counts it, ``over`` that it is past.

    ``regions`` are as used, the fat pocket in them; ``felt`` as the hand felt them.
    """

    id: UUID
    at: datetime
    by: str
    hand: str
    is_vet: bool
    manner: str
    scale: str
    overall: Decimal | None
    felt: Mapping[str, Decimal | None]
    regions: Mapping[str, Decimal | None]
    pocket: str
    crest: Decimal | None
    used: bool
    over: bool
    corrects: bool
    corrected_by: str
    reason: str
    note: str


@dataclass(frozen=True, slots=True)
class Weight:
    """One weighing, in kilograms and centimetres; ``error_kg`` is a formula's likely error."""

    id: UUID
    at: datetime
    by: str
    hand: str
    is_vet: bool
    method: str
    instrument: str
    kg: Decimal
    error_kg: Decimal | None
    girths: Mapping[str, Decimal]
    over: bool
    corrects: bool
    corrected_by: str
    reason: str


def scores(kin: Sequence[int]) -> tuple[Score, ...]:
    """Return the assessments of animals in order, those put right among them."""
    rows = list(
        Assessment.objects.filter(horse_id__in=kin)
        .select_related("assessor", "recorded_by")
        .defer("findings", "suggestion", "danger_signs")
        .order_by("corrected_at", "received_at", "id")
    )
    past = {row.supersedes_id for row in rows}
    return tuple(_score(row, over=row.id in past) for row in rows)


def _score(row: Assessment, *, over: bool) -> Score:
    five = row.scale == scale.FIVE
    felt = scale.Felt(row.neck, row.back, row.hind) if five else None
    known = row.overall_sixths is not None
    return Score(
        id=row.ref,
        at=row.corrected_at,
        by=row.assessor.name,
        hand=str(row.assessor.ref),
        is_vet=row.assessor.kind == "vet",
        manner=row.manner,
        scale=row.scale,
        overall=scale.mean(row.overall_sixths),
        felt=felt.points() if felt is not None else {},
        regions=felt.with_pocket(row.fat_pocket).points() if felt is not None else {},
        pocket=row.fat_pocket,
        crest=scale.points(row.crest),
        used=known and row.manner == reading.PALPATED and not over,
        over=over,
        corrects=row.supersedes_id is not None,
        corrected_by=row.recorded_by.name if row.supersedes_id is not None else "",
        reason=row.reason,
        note=row.note,
    )


def weights(kin: Sequence[int]) -> tuple[Weight, ...]:
    """Return the weighings of animals in order, those put right among them."""
    rows = list(
        Weighing.objects.filter(horse_id__in=kin)
        .select_related("assessor", "recorded_by", "instrument")
        .order_by("corrected_at", "received_at", "id")
    )
    past = {row.supersedes_id for row in rows}
    return tuple(_weight(row, over=row.id in past) for row in rows)


def _weight(row: Weighing, *, over: bool) -> Weight:
    return Weight(
        id=row.ref,
        at=row.corrected_at,
        by=row.assessor.name,
        hand=str(row.assessor.ref),
        is_vet=row.assessor.kind == "vet",
        method=row.method,
        instrument=row.instrument.label if row.instrument is not None else "",
        kg=row.weight_kg,
        error_kg=row.likely_error_kg,
        girths={
            measure: Decimal(row.measures[name])
            for measure, name in GIRTHS.items()
            if name in row.measures
        },
        over=over,
        corrects=row.supersedes_id is not None,
        corrected_by=row.recorded_by.name if row.supersedes_id is not None else "",
        reason=row.reason,
    )
