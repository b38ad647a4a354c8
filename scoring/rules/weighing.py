"""A weighing as it comes in: kilograms, and how they were come by.

Tape, formula and eye are estimates: none is a weight for drug doses, sedation or wormers without
the vet. Different tapes are different instruments.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from scoring.rules import clocks
from yards.rules import plain
from yards.rules.fields import Reader, given

WEIGHBRIDGE, WEIGH_TAPE, FORMULA, ESTIMATE = "weighbridge", "weigh_tape", "formula", "estimate"
METHODS = (WEIGHBRIDGE, WEIGH_TAPE, FORMULA, ESTIMATE)
LEAST_KG, MOST_KG = Decimal(5), Decimal(1500)
# Centimetres; belly girth at the navel, carpus round the knee, forelimb and body length of foals.
MEASURES = (
    "girth_cm",
    "belly_girth_cm",
    "length_cm",
    "height_cm",
    "neck_cm",
    "carpus_cm",
    "forelimb_cm",
)
MEASURE_CM = (Decimal(5), Decimal(400))
FED = ("before_feed", "after_feed")
FORMULA_MOST, REASON_MOST = 40, 500


@dataclass(frozen=True, slots=True)
class Weight:
    """What was weighed and how: kilograms to one place, measures in centimetres."""

    method: str
    instrument: UUID | None
    weight_kg: Decimal
    formula: str
    measures: Mapping[str, Decimal]
    fed: str

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset())


@dataclass(frozen=True, slots=True)
class Weighing:
    """A checked weighing of one animal at one time; ``reason`` only in a correction."""

    id: UUID | None
    horse: UUID
    taken_at: datetime
    sent_at: datetime | None
    corrected_at: datetime
    skew_seconds: int | None
    weight: Weight
    reason: str

    def content(self) -> dict[str, Any]:
        """Return what a replay must match: not the id, nor when and how skewed it was sent."""
        apart = frozenset({"id", "sent_at", "corrected_at", "skew_seconds", "weight"})
        return {**plain.content(self, without=apart), **self.weight.content()}


def check(
    raw: object,
    *,
    now: datetime,
    subjects: Mapping[UUID, clocks.Subject],
    instruments: Mapping[UUID, str],
    correcting: bool = False,
) -> Weighing:
    """Return a weighing, or raise Invalid naming every fault.

    ``subjects`` are the animals that the viewer may name, ``instruments`` the kinds of those; an id
    in neither is refused at its field. ``now`` is when it was received.
    """
    reader = Reader(raw)
    ref, horse = reader.uuid("id"), reader.uuid("horse", required=True)
    subject = subjects.get(horse) if horse is not None else None
    if horse is not None and subject is None:
        reader.refuse("horse", "unknown_reference")
    taken = clocks.read(reader, "taken_at", now=now, subject=subject)
    weight = read(reader, instruments)
    reason = reader.text("reason", most=REASON_MOST, required=True) if correcting else ""
    reader.finish()
    when = given(taken)
    return Weighing(
        id=ref,
        horse=given(horse),
        taken_at=when.taken_at,
        sent_at=when.sent_at,
        corrected_at=when.corrected_at,
        skew_seconds=when.skew_seconds,
        weight=given(weight),
        reason=reason,
    )


def read(reader: Reader, instruments: Mapping[UUID, str]) -> Weight | None:
    """Return a weight from the reader's mapping, alone or inside an assessment; notes faults."""
    method = reader.choice("method", METHODS, required=True)
    instrument = _instrument(reader, method, instruments)
    weight = reader.decimal("weight_kg", low=LEAST_KG, high=MOST_KG, places=1, required=True)
    formula = reader.text("formula", most=FORMULA_MOST, required=method == FORMULA)
    if formula and method and method != FORMULA:
        reader.refuse("formula", "formula_only_by_formula")
    measures = _measures(reader)
    if method == FORMULA and not measures:
        reader.refuse("measures", "formula_needs_measures")
    fed = reader.choice("fed", FED)
    return None if weight is None else Weight(method, instrument, weight, formula, measures, fed)


def _instrument(reader: Reader, method: str, instruments: Mapping[UUID, str]) -> UUID | None:
    ref = reader.uuid("instrument")
    if ref is None:
        return None
    kind = instruments.get(ref)
    if kind is None:
        reader.refuse("instrument", "unknown_reference")
    elif method in (WEIGHBRIDGE, WEIGH_TAPE) and kind != method:
        reader.refuse("instrument", "another_kind_of_instrument", kind=kind)
    elif method == ESTIMATE:
        reader.refuse("instrument", "estimate_has_no_instrument")
    return ref


def _measures(reader: Reader) -> dict[str, Decimal]:
    inner = reader.inside("measures")
    if inner is None:
        return {}
    low, high = MEASURE_CM
    sent = {name: inner.decimal(name, low=low, high=high, places=1) for name in MEASURES}
    return {name: found for name, found in sent.items() if found is not None}
