"""One animal's readings as the trend takes them, in order, with what parts its baselines.

Standings are filtered from these, and trends drawn from them: the same numbers in both.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TypeVar

from django.db.models import QuerySet

from scoring.models import Assessment, Weighing
from scoring.queries import evidence, fits
from scoring.rules import baseline, doubts, reading, scale, trend
from scoring.rules import standing as rule
from yards.models import Horse, HorseEvent
from yards.rules import breeding

Row = TypeVar("Row", Assessment, Weighing)


@dataclass(frozen=True, slots=True)
class Series:
    """Readings in order, ``rows`` beside them, the model they run by, and the resets."""

    model: trend.Model
    readings: tuple[trend.Reading, ...]
    rows: tuple[Assessment | Weighing, ...]
    resets: tuple[baseline.Reset, ...] = field(default=())

    def state(self) -> trend.State | None:
        """Return the filter's state after the last reading."""
        return trend.refilter(self.readings, model=self.model, resets=self.resets)


@dataclass(frozen=True, slots=True)
class Animal:
    """The keys of a horse and of animals that turned out to be it, and its foalings as resets."""

    kin: Sequence[int]
    foaled: tuple[baseline.Reset, ...]


def animal(horse: int) -> Animal:
    """Return whose readings a series of a horse is made of, in two queries."""
    kin = evidence.family(horse)
    rows = HorseEvent.objects.filter(horse_id__in=kin, kind=breeding.FOALED).order_by("at")
    return Animal(kin, baseline.of_foalings(rows.values_list("at", flat=True)))


def owners(horses: Sequence[int]) -> dict[int, int]:
    """Return whose a reading is, by the key that it was recorded of: one query for all horses.

    Besides the horses themselves, the animals that turned out to be one of them.
    """
    merged = Horse.objects.filter(merged_into_id__in=horses).values_list("id", "merged_into_id")
    return {each: each for each in horses} | {
        one: other for one, other in merged if other is not None
    }


def _counted(horses: Iterable[int]) -> QuerySet[Assessment]:
    return Assessment.objects.filter(horse_id__in=horses, superseded_by__isnull=True)


def felt(horses: Iterable[int]) -> QuerySet[Assessment]:
    """Return the assessments that trend and due times count: felt, whole, not superseded."""
    return _counted(horses).filter(manner=reading.PALPATED, overall_sixths__isnull=False)


def seen(animal: Animal) -> QuerySet[Assessment]:
    """Return a horse's assessments that were only seen: kept, shown, and never trended."""
    rows = _counted(animal.kin).filter(overall_sixths__isnull=False)
    return rows.exclude(manner=reading.PALPATED).select_related("assessor")


def weighed(horses: Iterable[int]) -> QuerySet[Weighing]:
    """Return the weighings that count: those not superseded."""
    return Weighing.objects.filter(horse_id__in=horses, superseded_by__isnull=True)


def _in_order(rows: QuerySet[Row]) -> tuple[Row, ...]:
    return tuple(rows.select_related("assessor").order_by("corrected_at", "received_at", "id"))


def of_scores(animal: Animal, fit: fits.InForce) -> Series:
    """Return a horse's felt overalls, in one query."""
    rows = _in_order(felt(animal.kin))
    return Series(
        # Another scale is another baseline, so the newest scale's model is the one that counts.
        fit.score_model(rows[-1].scale) if rows else rule.SCORE,
        tuple(score_reading(row, fit) for row in rows),
        rows,
        animal.foaled,
    )


def of_weights(animal: Animal, fit: fits.InForce) -> Series:
    """Return a horse's weighings, in one query."""
    rows = _in_order(weighed(animal.kin))
    return Series(
        fit.weight_model,
        tuple(weight_reading(row, fit) for row in rows),
        rows,
        (
            *animal.foaled,
            *baseline.of_instruments(
                (baseline.Use(row.corrected_at, instrument(row)) for row in rows),
                known=fit.bridged,
            ),
        ),
    )


def of_crests(animal: Animal) -> Series:
    """Return a horse's felt cresty neck scores, in one query.

    No fit is made of them: no hand is corrected for, and each may be off by what is usual.
    """
    rows = _in_order(_counted(animal.kin).filter(manner=reading.PALPATED, crest__isnull=False))
    readings = (
        rule.crest_reading(
            row.corrected_at,
            row.crest or 0,
            doubts=doubts.of_hand(scale.CREST, str(row.assessor_id)),
        )
        for row in rows
    )
    return Series(rule.SCORE, tuple(readings), rows)


def of_girths(animal: Animal, measure: str) -> Series:
    """Return a horse's girths, ``girth_cm`` or ``belly_girth_cm``, in one query.

    No fit is made of them: no hand or tape is corrected for, each may be off by what is usual, and
    another tape begins no baseline anew.
    """
    rows = _in_order(weighed(animal.kin).filter(measures__has_key=measure))
    readings = (
        rule.girth_reading(
            row.corrected_at,
            float(row.measures[measure]),
            measure,
            doubts=doubts.of_girth(measure, str(row.assessor_id), str(row.instrument_id or "")),
        )
        for row in rows
    )
    return Series(rule.GIRTH, tuple(readings), rows, animal.foaled)


def score_reading(row: Assessment, fit: fits.InForce) -> trend.Reading:
    """Return a felt overall as the trend reads it, without what its hand is known to add."""
    return fit.score(row.corrected_at, row.overall_sixths or 0, row.scale, row.assessor_id)


def weight_reading(row: Weighing, fit: fits.InForce) -> trend.Reading:
    """Return a weighing as the trend reads it, without what its instrument is known to add."""
    kg, error = row.weight_kg, row.likely_error_kg
    return fit.weight(
        row.corrected_at,
        float(kg),
        row.method,
        assessor=row.assessor_id,
        instrument=instrument(row),
        # A formula may be further out than the animal weighs; then nothing is known.
        error=None if error is None else min(float(error / kg), 1.0),
    )


def instrument(row: Weighing) -> str | None:
    """Return what a weight was read by, as the baselines tell instruments apart; None by eye.

    Weighbridges are one: they weigh. A tape that nobody named is a tape of its own.
    """
    if row.method == "estimate":
        return None
    if row.method == "weighbridge":
        return row.method
    own = row.formula if row.method == "formula" else row.instrument_id
    return f"{row.method}:{own or ''}"


def foalings_among(events: Iterable[tuple[str, datetime]]) -> tuple[baseline.Reset, ...]:
    """Return the resets of the foalings among breeding events that are at hand."""
    return baseline.of_foalings(at for kind, at in events if kind == breeding.FOALED)
