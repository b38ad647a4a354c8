"""What can be wrong with measures and a formula, and what to do: faults apart from warnings.

A fault makes the estimate worthless: a length from the wrong landmark, inches for centimetres, a
horse's formula on a donkey. A warning says that it is less sure than it looks. The limits are
``fixtures/weight_guards.json``: ours, set round the group means of Jensen et al. 2019 (Acta
Veterinaria Scandinavica 61) where there are any.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from scoring.rules.formulas import Formula, Measure
from yards.rules import fixture, horse, plain, units
from yards.rules.errors import FieldError

Centimetres = Mapping[str, Decimal]
Range = tuple[Decimal, Decimal]
FOAL, YOUNG_DONKEY = "foal", "young_donkey"
_TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Animal:
    """What is known of who was measured; ``months`` are the least and most that it can be old."""

    species: str
    kind: str = ""
    sex: str = ""
    height_cm: Decimal | None = None
    months: tuple[int, int] | None = None
    is_pregnant: bool = False


@dataclass(frozen=True, slots=True)
class Judged:
    """What was found: faults forbid the estimate, warnings go with it."""

    faults: tuple[FieldError, ...]
    warnings: tuple[FieldError, ...]


def of_animal(formula: Formula, animal: Animal | None) -> Judged:
    """Return what speaks against a formula for an animal; nothing where it is not known."""
    if animal is None:
        return Judged((), ())
    if animal.species != formula.species:
        return Judged((_at_formula("formula_for_species", species=formula.species),), ())
    faults, warnings = [*_sex(formula, animal)], []
    if animal.kind and formula.kinds and animal.kind not in formula.kinds:
        warnings.append(_at_formula("formula_for_other_kinds"))
    if animal.is_pregnant and formula.not_pregnant:
        warnings.append(_at_formula("formula_not_for_mares_in_foal"))
    fits = _fits_age(formula, animal.months)
    if fits is None:
        warnings.append(_at_formula("age_not_known_for_formula"))
    elif not fits:
        least, most = formula.months
        young = formula.is_for_young
        key = "formula_for_young_animals" if young else "formula_for_grown_animals"
        faults.append(_at_formula(key, months=most if young and most is not None else least))
    return Judged(tuple(faults), tuple(warnings))


def _at_formula(key: str, **params: str | int) -> FieldError:
    return FieldError("formula", key, params)


def _sex(formula: Formula, animal: Animal) -> Iterator[FieldError]:
    known = animal.sex in horse.SEXES and animal.sex != "unknown"
    if known and formula.sexes and animal.sex not in formula.sexes:
        yield _at_formula("formula_for_other_sex")


def _fits_age(formula: Formula, months: tuple[int, int] | None) -> bool | None:
    """Return whether a formula is for an age; None where the age that is known leaves it open.

    An animal of no known age is taken for grown.
    """
    low, high = formula.months
    if months is None:
        return None if formula.is_for_young else True
    least, most = months
    if most < low or (high is not None and least > high):
        return False
    inside = least >= low and (high is None or most <= high)
    return True if inside else None


def of_measures(formula: Formula, measures: Centimetres, animal: Animal | None) -> Judged:
    """Return what speaks against the measures that a formula takes, all of them finite.

    Inches typed as centimetres, and the other way; a size that such an animal has not; a length
    from the elbow for one from the shoulder, told by its ratio to the girth, and the other way.
    """
    faults = [
        fault
        for each in formula.measures
        if (fault := _size(each, measures[each.field], _range(formula, each, animal)))
    ]
    bad = {fault.field for fault in faults}
    warnings: list[FieldError] = []
    for fault, is_warning in _ratios(formula, measures, animal, bad):
        (warnings if is_warning else faults).append(fault)
    height = measures.get("height_cm")
    least = formula.least_height
    if least is not None and height is not None and height < least:
        warnings.append(FieldError("height_cm", "shorter_than_sample", {"cm": str(least)}))
    return Judged(tuple(faults), tuple(warnings))


def _range(formula: Formula, measure: Measure, animal: Animal | None) -> Range:
    """Return where a measure can lie: by the animal's kind, or by all kinds of the formula."""
    ranges = fixture.load("weight_guards")["ranges"]
    kinds = _kinds(formula, animal)
    found = [ranges[kind].get(measure.key) or ranges[kind][measure.field] for kind in kinds]
    return Decimal(min(low for low, _ in found)), Decimal(max(high for _, high in found))


def _kinds(formula: Formula, animal: Animal | None) -> tuple[str, ...]:
    if formula.is_for_young:
        return (FOAL if formula.species == horse.HORSE else YOUNG_DONKEY,)
    if animal is not None and animal.kind:
        return (animal.kind,)
    return formula.kinds or horse.KINDS[formula.species]


def _size(measure: Measure, cm: Decimal, possible: Range) -> FieldError | None:
    low, high = possible
    if low <= cm <= high:
        return None
    for meant, key in (
        (cm * units.CM_PER_IN, "looks_like_inches"),
        (cm / units.CM_PER_IN, "twice"),
    ):
        if low <= meant <= high:
            told = {"cm": plain.decimal_text(cm), "meant_cm": str(meant.quantize(_TENTH))}
            if key == "looks_like_inches":
                return FieldError(measure.field, "looks_like_inches", told)
            return FieldError(measure.field, "inches_taken_twice", told)
    ends = {"low_cm": str(low), "high_cm": str(high)}
    return FieldError(measure.field, "measure_unlikely", ends)


def _ratios(
    formula: Formula, measures: Centimetres, animal: Animal | None, bad: set[str]
) -> Iterator[tuple[FieldError, bool]]:
    """Return a fault, or a warning (True), for each two measures that do not fit together."""
    values = {each.key: (each.field, measures[each.field]) for each in formula.measures}
    if animal is not None and animal.height_cm is not None and not formula.is_for_young:
        # A height on record tells as well; what does not fit it is what was measured now.
        values.setdefault("height", ("girth_cm", animal.height_cm))
    for row in fixture.load("weight_guards")["ratios"]:
        over, under = values.get(row["over"]), values.get(row["under"])
        if row["species"] != formula.species or over is None or under is None:
            continue
        if bad & {over[0], under[0]}:
            continue
        found = _ratio(row, under[0], over[1] / under[1])
        if found is not None:
            yield found


def _ratio(row: Mapping[str, Any], field: str, ratio: Decimal) -> tuple[FieldError, bool] | None:
    for name, is_warning in (("possible", False), ("usual", True)):
        low, high = (Decimal(each) for each in row[name])
        if not low <= ratio <= high:
            return _misfit(row["under"], field, ratio > high, is_warning), is_warning
    return None


def _misfit(under: str, field: str, is_short: bool, is_warning: bool) -> FieldError:
    """Return what a ratio tells: the wrong end of a length, or two measures of two animals."""
    if under == "length_elbow" and not is_short:
        key = "length_perhaps_from_shoulder" if is_warning else "length_from_shoulder"
    elif under in ("length_shoulder", "length_straight") and is_short:
        key = "length_perhaps_from_elbow" if is_warning else "length_from_elbow"
    else:
        key = "measures_hardly_fit" if is_warning else "measures_do_not_fit"
    return FieldError(field, key)


def of_weight(formula: Formula, kg: Decimal) -> Judged:
    """Return whether a weight lies outside what the formula was made on, where that is known."""
    if formula.sample_kg is None:
        return Judged((), ())
    low, high = formula.sample_kg
    if low <= kg <= high:
        return Judged((), ())
    limits = fixture.load("weight_guards")["sample"]
    far = not (
        low * Decimal(limits["refuse_below"]) <= kg <= high * Decimal(limits["refuse_above"])
    )
    told = {"kg": str(kg), "low_kg": str(low), "high_kg": str(high)}
    if far:
        return Judged((FieldError("formula", "far_outside_sample", told),), ())
    return Judged((), (FieldError("formula", "outside_sample", told),))
