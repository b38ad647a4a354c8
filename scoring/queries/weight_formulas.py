"""The formulas that make a weight of measures, in words, and what one makes. Nothing is stored."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import UUID

from scoring.access import readings
from scoring.queries import animals, fixture_words
from scoring.rules import formulas, measured, weight
from scoring.rules.weight_guards import Animal
from yards.access import doors
from yards.models import Horse
from yards.rules import fixture
from yards.rules.errors import FieldError
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class MeasureCard:
    """One measure that a formula takes, and where the tape lies."""

    field: str
    title: str
    landmark: str


@dataclass(frozen=True, slots=True)
class ErrorCard:
    """How far a formula is likely to be out: per cent or kilograms, and what that means.

    ``covers_percent`` is how many of a hundred animals lie within it; None is not known.
    For heights from ``height_from`` to below ``height_below`` (cm); None is no limit.
    """

    percent: Decimal | None
    kg: Decimal | None
    means: str
    covers_percent: int | None
    height_from: Decimal | None
    height_below: Decimal | None

    def holds_at(self, height_cm: Decimal) -> bool:
        """Return whether it is meant for animals of a height."""
        low, high = self.height_from, self.height_below
        return (low is None or height_cm >= low) and (high is None or height_cm < high)


@dataclass(frozen=True, slots=True)
class FormulaCard:
    """One formula. ``months`` is the age it is for; ``sample_kg`` the weights it was made on.

    ``errors`` are its likely errors, the one for any height last; ``confidence`` how sure the
    source is: read, secondary or memory.
    """

    id: str
    title: str
    source: str
    confidence: str
    species: str
    kinds: Sequence[str]
    sexes: Sequence[str]
    months: tuple[int, int | None]
    population: str
    sample_kg: tuple[Decimal, Decimal] | None
    measures: Sequence[MeasureCard]
    errors: Sequence[ErrorCard]
    note: str

    def error_at(self, height_cm: Decimal | None) -> ErrorCard:
        """Return the likely error for a height, or that for any where it is not known."""
        if height_cm is None:
            return self.errors[-1]
        return next(each for each in self.errors if each.holds_at(height_cm))


@dataclass(frozen=True, slots=True)
class EstimateCard:
    """What a formula makes of measures: kilograms, the likely error, and what that means."""

    formula: FormulaCard
    weight_kg: Decimal
    likely_error_kg: Decimal
    means: str
    covers_percent: int | None
    caution: str
    warnings: Sequence[FieldError]


def caution() -> str:
    """Return the line that stands with every estimate, in the reader's language."""
    return fixture_words.said(weight.caution())


def meaning(key: str) -> str:
    """Return what a likely error means, in the reader's language."""
    return fixture_words.said(fixture.load("weight_formulas")["meanings"][key])


def card_of(found: formulas.Formula) -> FormulaCard:
    """Return a formula in the reader's language."""
    return FormulaCard(
        id=found.id,
        title=fixture_words.said(found.title),
        source=found.source,
        confidence=found.confidence,
        species=found.species,
        kinds=found.kinds,
        sexes=found.sexes,
        months=found.months,
        population=fixture_words.said(found.population),
        sample_kg=found.sample_kg,
        measures=[
            MeasureCard(
                each.field, fixture_words.said(each.title), fixture_words.said(each.landmark)
            )
            for each in found.measures
        ],
        errors=[
            ErrorCard(
                percent=each.percent,
                kg=each.kg,
                means=meaning(each.meaning),
                covers_percent=each.covers_percent,
                height_from=each.height_from,
                height_below=each.height_below,
            )
            for each in found.errors
        ],
        note=fixture_words.said(found.note) if found.note else "",
    )


def list_formulas(viewer: Viewer) -> list[FormulaCard]:
    """Return every formula, the most useful of each species first; raises NotAllowed."""
    readings.require_sight(viewer)
    return [card_of(each) for each in formulas.every().values()]


def fitting(viewer: Viewer, horse: UUID, *, now: datetime) -> list[FormulaCard]:
    """Return the formulas for an animal as it is now, those made on its kind first."""
    animal = _animal(doors.horse_for_read(viewer, horse), now)
    return [card_of(each) for each in weight.fitting(animal)]


def estimate(viewer: Viewer, raw: object, *, now: datetime) -> EstimateCard:
    """Return what a formula makes of measures: ``formula``, ``horse`` where known, ``girth_cm`` ...

    Raises NotAllowed, or Invalid with every fault at its field.
    """
    doors.require(viewer, Verb.RECORD_READINGS)
    named = raw.get("horse") if isinstance(raw, Mapping) else None
    horse = _horse(viewer, named)
    asked = measured.check(raw, horses=() if horse is None else (horse.ref,))
    animal = _animal(horse, now) if horse is not None else None
    found = weight.estimate(asked.formula, asked.measures, animal)
    return EstimateCard(
        formula=card_of(found.formula),
        weight_kg=found.weight_kg,
        likely_error_kg=found.likely_error_kg,
        means=meaning(found.meaning),
        covers_percent=found.covers_percent,
        caution=caution(),
        warnings=found.warnings,
    )


def _horse(viewer: Viewer, named: object) -> Horse | None:
    try:
        ref = UUID(str(named))
    except ValueError:
        return None
    return doors.horses_in_scope(viewer).select_related("yard").filter(ref=ref).first()


def _animal(horse: Horse, now: datetime) -> Animal:
    return measured.animal(animals.subject(horse), now)


def is_listed(name: str) -> bool:
    """Return whether a weighing's formula is of the list; those recorded before it may not be."""
    return name in formulas.every()


def find_formula(name: str) -> FormulaCard | None:
    """Return a formula of the list, or None."""
    found = formulas.every().get(name)
    return None if found is None else card_of(found)
