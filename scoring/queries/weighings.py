"""Weighings as they are answered."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from django.db.models import QuerySet

from scoring.access import readings
from scoring.models import Weighing
from scoring.queries import habits, people, wanting
from scoring.rules import formulas
from yards import audit
from yards.queries import paging
from yards.rules.errors import FieldError
from yards.rules.roles import Viewer

RECORDED = ("weighing.recorded", "weighing.corrected")


@dataclass(frozen=True, slots=True)
class WeighingAnswer:
    """One weighing in kilograms. ``receipt`` is None inside an assessment, which has its own.

    ``assessor`` is the hand that weighed; of a correction, ``recorded_by`` is who corrected.
    ``likely_error_kg`` stands with a listed formula's estimate; ``warnings`` are odd, not wrong.
    """

    id: UUID
    horse: UUID
    horse_name: str
    yard: UUID
    taken_at: datetime
    sent_at: datetime | None
    received_at: datetime
    corrected_taken_at: datetime
    method: str
    instrument: UUID | None
    instrument_label: str
    weight_kg: Decimal
    formula: str
    measures: Mapping[str, str]
    fed: str
    assessor: people.Hand
    recorded_by: UUID
    recorded_by_name: str
    supersedes: UUID | None
    superseded_by: UUID | None
    reason: str
    receipt: audit.Receipt | None
    time_zone: str
    tape_side: str = ""
    tape_position: str = ""
    likely_error_kg: Decimal | None = None
    warnings: tuple[FieldError, ...] = ()
    replayed: bool = False

    @property
    def likely_error_covers_percent(self) -> int | None:
        """How many of a hundred animals lie within the likely error, where that is known."""
        listed = formulas.every().get(self.formula) if self.likely_error_kg is not None else None
        return None if listed is None else listed.error_at(None).covers_percent


def _rows(found: QuerySet[Weighing]) -> QuerySet[Weighing]:
    return found.select_related(
        *("horse", "yard", "assessor", "recorded_by", "instrument", "supersedes")
    )


def answers(rows: Sequence[Weighing]) -> list[WeighingAnswer]:
    """Return answers for rows with their joins, in two queries more."""
    receipts = audit.receipts_of([row.ref for row in rows], RECORDED)
    later = {
        row.supersedes_id: row.ref
        for row in Weighing.objects.filter(supersedes_id__in=[each.id for each in rows]).only(
            "ref", "supersedes_id"
        )
    }
    return [
        _answer(row, receipts.get(row.ref), later.get(row.id), recorder=row.recorded_by.name)
        for row in rows
    ]


def first_answer(row: Weighing, receipt: audit.Receipt | None) -> WeighingAnswer:
    """Return the answer to a weighing that was inserted just now, from the row in hand."""
    # Only of a correction is whoever recorded it another than the hand.
    by = row.assessor if row.supersedes_id is None else row.recorded_by
    return _answer(row, receipt, None, recorder=by.name)


def _answer(
    row: Weighing, receipt: audit.Receipt | None, superseded_by: UUID | None, *, recorder: str
) -> WeighingAnswer:
    return WeighingAnswer(
        id=row.ref,
        horse=row.horse.ref,
        horse_name=row.horse.name,
        yard=row.yard.ref,
        taken_at=row.taken_at,
        sent_at=row.sent_at,
        received_at=row.received_at,
        corrected_taken_at=row.corrected_at,
        method=row.method,
        instrument=row.instrument.ref if row.instrument is not None else None,
        instrument_label=row.instrument.label if row.instrument is not None else "",
        weight_kg=row.weight_kg,
        formula=row.formula,
        measures=dict(sorted(row.measures.items())),
        fed=row.fed,
        assessor=people.Hand(row.assessor.ref, row.assessor.name),
        recorded_by=row.recorded_by_id,
        recorded_by_name=recorder,
        supersedes=row.supersedes.ref if row.supersedes is not None else None,
        superseded_by=superseded_by,
        reason=row.reason,
        receipt=receipt,
        time_zone=row.yard.time_zone,
        tape_side=row.tape_side,
        tape_position=row.tape_position,
        likely_error_kg=row.likely_error_kg,
        warnings=habits.told(row.warnings),
    )


def get_weighing(viewer: Viewer, ref: UUID) -> WeighingAnswer:
    """Return one weighing; raises NotFound out of scope."""
    readings.require_sight(viewer)
    readings.weighing_for_read(viewer, ref)
    return answers(list(_rows(Weighing.objects.filter(ref=ref))))[0]


def just_recorded(row_id: int) -> WeighingAnswer:
    """Return the answer to a weighing that was recorded before."""
    return answers(list(_rows(Weighing.objects.filter(id=row_id))))[0]


def list_weighings(
    viewer: Viewer, wanted: wanting.Wanted, *, cursor: str | None = None, size: int = paging.SIZE
) -> paging.Page[WeighingAnswer]:
    """Return weighings, last received first."""
    readings.require_sight(viewer)
    found = _rows(wanting.narrowed(readings.weighings_in_scope(viewer), wanted))
    return paging.page_of(viewer, found, answers, name="weighings", cursor=cursor, size=size)
