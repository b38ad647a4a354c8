"""Who was measured and what: the facts of an animal that a formula hangs on, and its measures."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID
from zoneinfo import ZoneInfo

from scoring.rules import clocks, formulas, weight
from scoring.rules.weight_guards import Animal
from yards.rules import errors
from yards.rules.fields import Reader

MEASURE_CM = (Decimal(5), Decimal(400))
# What the guards of a formula judge may be any length that can be written: they say what is wrong.
JUDGED_CM = weight.POSSIBLE_CM
FORMULA_MOST = 40


@dataclass(frozen=True, slots=True)
class Asked:
    """A question what a formula makes of measures, of an animal where one is named."""

    formula: str
    measures: Mapping[str, Decimal]
    horse: UUID | None


def animal(subject: clocks.Subject, at: datetime | None) -> Animal:
    """Return what is known of an animal that was measured at a time; of no age without one."""
    return Animal(
        species=subject.species,
        kind=subject.kind,
        sex=subject.sex,
        height_cm=subject.height_cm,
        months=None
        if at is None
        else _months(subject, at.astimezone(ZoneInfo(subject.zone)).date()),
        is_pregnant=subject.is_pregnant,
    )


def _months(subject: clocks.Subject, on: date) -> tuple[int, int] | None:
    """Return the fewest and the most completed months that an animal can be old on a day."""
    if subject.born_earliest is None or subject.born_latest is None:
        return None
    return months(min(subject.born_latest, on), on), months(subject.born_earliest, on)


def months(born_on: date, on: date) -> int:
    """Return completed months from a birth to a day; none for a day before it."""
    whole = (on.year - born_on.year) * 12 + on.month - born_on.month
    return max(0, whole - (on.day < born_on.day))


def measures(
    reader: Reader, names: Collection[str], *, judged: Collection[str] = ()
) -> dict[str, Decimal]:
    """Return the measures that were sent, by name; those ``judged`` by a formula in any size."""
    found = {}
    for name in names:
        low, high = JUDGED_CM if name in judged else MEASURE_CM
        value = reader.decimal(name, low=low, high=high, places=1)
        if value is not None:
            found[name] = value
    return found


def check(raw: object, *, horses: Collection[UUID]) -> Asked:
    """Return a question for an estimate, or raise Invalid; ``horses`` are those one may name."""
    reader = Reader(raw)
    named = reader.text("formula", most=FORMULA_MOST, required=True)
    horse = reader.uuid("horse")
    if horse is not None and horse not in horses:
        reader.refuse("horse", "unknown_reference")
    formula = formulas.every().get(named)
    if formula is None and named:
        reader.refuse("formula", "unknown_formula")
    judged = formula.fields if formula is not None else formulas.fields()
    found = measures(reader, formulas.fields(), judged=judged)
    reader.finish()
    return Asked(named, found, horse)


def worked_out(
    reader: Reader, formula: str, found: Mapping[str, Decimal], of: Animal | None
) -> weight.Estimate | None:
    """Return what a formula makes of measures, or note each fault beside the measure."""
    try:
        return weight.estimate(formula, found, of)
    except errors.Invalid as refused:
        for each in refused.errors:
            at = each.field if each.field == "formula" else f"measures.{each.field}"
            reader.refuse(at, each.key, **each.params)
        return None
