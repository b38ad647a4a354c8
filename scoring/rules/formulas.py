"""The formulas that make a weight of measures: ``fixtures/weight_formulas.json`` in types.

Each says on which animals it was made, which measures it takes and where, how far it is likely to
be out and what that means, and how sure its source is: read, secondary (quoted elsewhere) or memory
(unchecked). What was misprinted or could not be read is left out, or corrected and said to be.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from yards.rules import fixture

# What a likely error means, most telling first; said in words by the edges.
MEANINGS = ("sd", "limits", "rms", "printed", "like", "spread", "ours")
CONFIDENCES = ("read", "secondary", "memory")


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure as a formula takes it. ``key`` tells two lengths apart that share a field."""

    key: str
    field: str
    title: str
    landmark: str


@dataclass(frozen=True, slots=True)
class Error:
    """How far an estimate is likely to be out: per cent of it, or kilograms; one of the two.

    It holds for animals from ``height_from`` (cm) to below ``height_below``; None is no limit.
    An error of two in three animals is no error of 19 in 20: ``covers_percent`` tells them apart.
    """

    percent: Decimal | None
    kg: Decimal | None
    meaning: str
    height_from: Decimal | None
    height_below: Decimal | None

    @property
    def covers_percent(self) -> int | None:
        """How many of a hundred animals lie within it, of a normal spread; None is not known."""
        return covers_percent(self.meaning)

    @property
    def is_for_any_height(self) -> bool:
        """Whether it holds whatever the height."""
        return self.height_from is None and self.height_below is None

    def holds_at(self, height_cm: Decimal) -> bool:
        """Return whether it is meant for animals of a height."""
        low, high = self.height_from, self.height_below
        return (low is None or height_cm >= low) and (high is None or height_cm < high)


@dataclass(frozen=True, slots=True)
class Formula:
    """One published formula.

    ``kinds`` and ``sexes`` are empty where all of the species are meant. ``months`` is the age it
    is for, both ends allowed, None open. ``sample_kg`` and ``least_height`` (cm) are the range of
    the animals it was made on; None for the many whose range was not seen, of which no estimate
    can be said to lie outside. ``only_fat`` is one made on fat animals. ``shape`` is read by
    ``weight_shapes``.
    """

    id: str
    title: str
    source: str
    confidence: str
    species: str
    kinds: tuple[str, ...]
    sexes: tuple[str, ...]
    months: tuple[int, int | None]
    population: str
    sample_kg: tuple[Decimal, Decimal] | None
    least_height: Decimal | None
    not_pregnant: bool
    only_fat: bool
    measures: tuple[Measure, ...]
    shape: Mapping[str, Any]
    errors: tuple[Error, ...]
    note: str

    @property
    def is_for_young(self) -> bool:
        """Whether it is for foals or other young animals only."""
        return self.months[1] is not None

    @property
    def fields(self) -> tuple[str, ...]:
        """The names of its measures, in their order."""
        return tuple(each.field for each in self.measures)

    def error_at(self, height_cm: Decimal | None) -> Error:
        """Return the likely error for a height, or the one for any where that is not known."""
        if height_cm is not None:
            return next(each for each in self.errors if each.holds_at(height_cm))
        return next(each for each in self.errors if each.is_for_any_height)


def _decimal(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


@cache
def measures() -> Mapping[str, Measure]:
    """Return every measure by its key."""
    data = fixture.load("weight_formulas")["measures"]
    return {key: Measure(key, **row) for key, row in data.items()}


def covers_percent(meaning: str) -> int | None:
    """Return how many of a hundred animals lie within an error of a meaning, where it is known."""
    found: int | None = fixture.load("weight_formulas")["covers_percent"].get(meaning)
    return found


def _error(row: Mapping[str, str]) -> Error:
    return Error(
        percent=_decimal(row.get("percent")),
        kg=_decimal(row.get("kg")),
        meaning=row["meaning"],
        height_from=_decimal(row.get("height_from_cm")),
        height_below=_decimal(row.get("height_below_cm")),
    )


def _formula(row: Mapping[str, Any]) -> Formula:
    sample, (low, high) = row["sample"], row["age_months"]
    kg = sample.get("kg")
    return Formula(
        id=row["id"],
        title=row["title"],
        source=row["source"],
        confidence=row["confidence"],
        species=row["species"],
        kinds=tuple(row["kinds"]),
        sexes=tuple(row.get("sexes", ())),
        months=(low, high),
        population=row["population"],
        sample_kg=None if kg is None else (Decimal(kg[0]), Decimal(kg[1])),
        least_height=_decimal(sample.get("height_cm", (None,))[0]),
        not_pregnant=sample.get("not_pregnant", False),
        only_fat=sample.get("only_fat", False),
        measures=tuple(measures()[key] for key in row["measures"]),
        shape=row["shape"],
        errors=tuple(_error(each) for each in row["error"]),
        note=row.get("note", ""),
    )


@cache
def every() -> Mapping[str, Formula]:
    """Return the formulas by id, the most useful of each species first."""
    rows: Sequence[Mapping[str, Any]] = fixture.load("weight_formulas")["formulas"]
    return {row["id"]: _formula(row) for row in rows}


def fields() -> tuple[str, ...]:
    """Return the name of every measure that any formula takes, each once."""
    return tuple(dict.fromkeys(each.field for each in measures().values()))
