"""A weighing as it comes in: kilograms, and how they were come by.

Tape, formula and eye are estimates: none is a weight for drug doses, sedation or wormers without
the vet. Different tapes are different instruments. A formula is one of the list
(``scoring.rules.formulas``); its weight is worked out here from its measures, and one that is sent
must agree.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from scoring.rules import clocks, formulas, measured, tape, weight
from scoring.rules.weight_guards import Animal
from yards.rules import errors, plain
from yards.rules.errors import FieldError
from yards.rules.fields import Reader, given

WEIGHBRIDGE, WEIGH_TAPE, FORMULA, ESTIMATE = "weighbridge", "weigh_tape", "formula", "estimate"
METHODS = (WEIGHBRIDGE, WEIGH_TAPE, FORMULA, ESTIMATE)
# Laid round the animal, on one side and at one place.
TAPED = (WEIGH_TAPE, FORMULA)
LEAST_KG, MOST_KG = weight.LEAST_KG, weight.MOST_KG
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
FED = ("before_feed", "after_feed")
REASON_MOST = 500
# Came later: a replay of what was sent before them must still match, so blank they are left out.
_LATER = ("tape_side", "tape_position")


@dataclass(frozen=True, slots=True)
class Weight:
    """What was weighed and how: kilograms to one place, measures in centimetres.

    ``likely_error_kg`` goes with a formula's estimate; ``warnings`` are odd, not wrong.
    """

    method: str
    instrument: UUID | None
    weight_kg: Decimal
    formula: str
    measures: Mapping[str, Decimal]
    fed: str
    tape_side: str = ""
    tape_position: str = ""
    likely_error_kg: Decimal | None = None
    warnings: tuple[FieldError, ...] = ()

    def content(self) -> dict[str, Any]:
        """Return what a replay must match: what was said, not what was made of it."""
        said = plain.content(self, without=frozenset({"likely_error_kg", "warnings"}))
        return {name: value for name, value in said.items() if value or name not in _LATER}


@dataclass(frozen=True, slots=True)
class Known:
    """What is on record already of the weighing that is sent.

    ``formula`` is the name that the row before it has, which may be older than the list;
    ``is_replay``: it was judged when it first came in, and is not judged again.
    """

    formula: str = ""
    is_replay: bool = False


NOTHING_KNOWN = Known()


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
    known: Known = NOTHING_KNOWN,
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
    at = taken.corrected_at if taken is not None else None
    animal = measured.animal(subject, at) if subject is not None else None
    weight = read(reader, instruments, animal, known)
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


def read(
    reader: Reader,
    instruments: Mapping[UUID, str],
    animal: Animal | None = None,
    known: Known = NOTHING_KNOWN,
) -> Weight | None:
    """Return a weight from the reader's mapping, alone or inside an assessment; notes faults.

    ``animal`` is who was weighed, as far as a formula asks.
    """
    method = reader.choice("method", METHODS, required=True)
    instrument = _instrument(reader, method, instruments)
    name, listed = _formula(reader, method, known)
    before = len(reader.faults)
    measures = _measures(reader, listed)
    if method == FORMULA and not measures:
        reader.refuse("measures", "formula_needs_measures")
    are_sound = len(reader.faults) == before
    sent = reader.decimal(
        "weight_kg", low=LEAST_KG, high=MOST_KG, places=1, required=listed is None
    )
    fed = reader.choice("fed", FED)
    side, position = _tape(reader, method)
    error: Decimal | None = None
    warnings: tuple[FieldError, ...] = ()
    kg = sent
    if listed is not None and are_sound:
        if known.is_replay:
            kg = sent if sent is not None else _again(reader, name, measures)
        elif found := measured.worked_out(reader, name, measures, animal):
            kg = _agreed(reader, sent, found)
            error, warnings = found.likely_error_kg, found.warnings
    if kg is None:
        return None
    return Weight(method, instrument, kg, name, measures, fed, side, position, error, warnings)


def _formula(reader: Reader, method: str, known: Known) -> tuple[str, formulas.Formula | None]:
    """Return the formula's name, and the formula where the list has it."""
    name = reader.text("formula", most=measured.FORMULA_MOST, required=method == FORMULA)
    if name and method and method != FORMULA:
        reader.refuse("formula", "formula_only_by_formula")
    listed = formulas.every().get(name) if method == FORMULA else None
    if method == FORMULA and name and listed is None and name != known.formula:
        reader.refuse("formula", "unknown_formula")
    return name, listed


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


def _measures(reader: Reader, formula: formulas.Formula | None) -> dict[str, Decimal]:
    inner = reader.inside("measures")
    if inner is None:
        return {}
    return measured.measures(inner, MEASURES, judged=formula.fields if formula else ())


def _tape(reader: Reader, method: str) -> tuple[str, str]:
    side = reader.choice("tape_side", tape.sides())
    position = reader.choice("tape_position", tape.positions())
    for name, value in (("tape_side", side), ("tape_position", position)):
        if value and method and method not in TAPED:
            reader.refuse(name, "tape_only_by_tape")
    return side, position


def _again(reader: Reader, formula: str, measures: Mapping[str, Decimal]) -> Decimal | None:
    """Return what the server worked out when this came in first, without a weight."""
    try:
        return weight.unjudged(formula, measures)
    except errors.Invalid as refused:
        for each in refused.errors:
            reader.refuse(f"measures.{each.field}", each.key, **each.params)
        return None


def _agreed(reader: Reader, sent: Decimal | None, found: weight.Estimate) -> Decimal:
    """Return the weight that was sent, which must be the formula's, or the formula's own."""
    if sent is None:
        return found.weight_kg
    if not weight.agrees(sent, found):
        reader.refuse("weight_kg", "weight_unlike_formula", kg=str(found.weight_kg))
    return sent
