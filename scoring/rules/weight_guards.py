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
from yards.rules import allowed, fixture, horse, plain, units
from yards.rules.errors import FieldError

Centimetres = Mapping[str, Decimal]
Range = tuple[Decimal, Decimal]
FOAL, YOUNG_DONKEY = "foal", "young_donkey"
_TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Animal:
    """What is known of who was measured; ``months`` are the least and most that it can be old.

    Raises OutOfRange for a species, a kind or a sex that is none of its list ("" is not known), a
    height that no horse has on record, and ages the wrong way round.
    """

    species: str
    kind: str = ""
    sex: str = ""
    height_cm: Decimal | None = None
    months: tuple[int, int] | None = None
    is_pregnant: bool = False

    def __post_init__(self) -> None:
        allowed.one_of("species", self.species, horse.SPECIES)
        allowed.one_of("kind", self.kind, ("", *horse.KINDS[self.species]))
        allowed.one_of("sex", self.sex, ("", *horse.SEXES))
        low, high = horse.HEIGHT_CM
        height = self.height_cm
        if height is not None and not (height.is_finite() and low <= height <= high):
            raise allowed.OutOfRange("height_cm", f"{low} to {high}")
        if self.months is not None and not 0 <= self.months[0] <= self.months[1]:
            raise allowed.OutOfRange("months", "0 and over, the least first")


@dataclass(frozen=True, slots=True)
class Judged:
    """What was found: faults forbid the estimate, warnings go with it.

    ``is_of_the_kind`` is false where the formula is for another species or age: then its ranges say
    nothing of the measures.
    """

    faults: tuple[FieldError, ...] = ()
    warnings: tuple[FieldError, ...] = ()
    is_of_the_kind: bool = True


def of_animal(formula: Formula, animal: Animal | None) -> Judged:
    """Return what speaks against a formula for an animal; nothing where it is not known."""
    if animal is None:
        return Judged(warnings=_at_formula_if(formula.only_fat, "formula_for_fat_animals"))
    if animal.species != formula.species:
        other = _at_formula("formula_for_species", species=formula.species)
        return Judged((other,), is_of_the_kind=False)
    of_other_kinds = bool(animal.kind and formula.kinds and animal.kind not in formula.kinds)
    warnings = [
        *_at_formula_if(of_other_kinds, "formula_for_other_kinds"),
        *_at_formula_if(formula.only_fat, "formula_for_fat_animals"),
        *_in_foal(formula, animal),
    ]
    faults = [*_sex(formula, animal)]
    fits = _fits_age(formula, animal.months)
    if fits is None:
        warnings.append(_at_formula("age_not_known_for_formula"))
    elif not fits:
        least, most = formula.months
        young = formula.is_for_young
        key = "formula_for_young_animals" if young else "formula_for_grown_animals"
        faults.append(_at_formula(key, months=most if young and most is not None else least))
    return Judged(tuple(faults), tuple(warnings), fits is not False)


def _in_foal(formula: Formula, animal: Animal) -> Iterator[FieldError]:
    """Return what a foal to come does to an estimate: not of the sample, or in the belly girth."""
    if not animal.is_pregnant:
        return
    if formula.not_pregnant:
        yield _at_formula("formula_not_for_mares_in_foal")
    if "belly_girth_cm" in formula.fields:
        yield FieldError("belly_girth_cm", "belly_girth_in_foal")


def _at_formula_if(is_so: bool, key: str) -> tuple[FieldError, ...]:
    return (_at_formula(key),) if is_so else ()


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
    What is missing is not judged.
    """
    given = [each for each in formula.measures if each.field in measures]
    faults = [
        fault
        for each in given
        if (fault := _size(each, measures[each.field], _range(formula, each, animal)))
    ]
    bad = {fault.field for fault in faults}
    warnings: list[FieldError] = []
    for fault, is_warning in _ratios(formula, measures, animal, bad):
        (warnings if is_warning else faults).append(fault)
    if not faults and given:
        warnings.extend(_perhaps_inches(formula, measures, animal))
    height = measures.get("height_cm")
    least = formula.least_height
    if least is not None and height is not None and height < least:
        warnings.append(FieldError("height_cm", "shorter_than_sample", {"cm": str(least)}))
    return Judged(tuple(faults), tuple(warnings))


def _perhaps_inches(
    formula: Formula, measures: Centimetres, animal: Animal | None
) -> Iterator[FieldError]:
    """Return a warning where all measures may as well be the inches of a larger animal.

    With its kind on record the ranges are apart by more than an inch to a centimetre; without, a
    small pony's centimetres are a heavy horse's inches. A height on record tells them apart too.
    """
    first, *_rest = (each for each in formula.measures if each.field in measures)
    for each in formula.measures:
        low, high = _range(formula, each, animal)
        if each.field in measures and not low <= measures[each.field] * units.CM_PER_IN <= high:
            return
    known = animal.height_cm if animal is not None and not formula.is_for_young else None
    height = measures.get("height_cm")
    if known is not None:
        if height is None and first.key == "girth":
            return  # the ratio of the girth to the height on record has told
        as_inches = None if height is None else height * units.CM_PER_IN
        if height is not None and as_inches and abs(as_inches - known) >= abs(height - known):
            return
    cm = measures[first.field]
    meant = str((cm * units.CM_PER_IN).quantize(_TENTH))
    told = {"cm": plain.decimal_text(cm), "meant_cm": meant}
    yield FieldError(first.field, "perhaps_inches", told)


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
    values = {
        each.key: (each.field, measures[each.field])
        for each in formula.measures
        if each.field in measures
    }
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
    """Return whether a weight lies outside what the formula was made on, where that is known.

    Of most formulas the lightest and heaviest animal were not seen: then nothing is said, and
    ``sample_kg`` is None. No warning stands for that with every estimate: nobody would read it.
    """
    if formula.sample_kg is None:
        return Judged()
    low, high = formula.sample_kg
    if low <= kg <= high:
        return Judged()
    limits = fixture.load("weight_guards")["sample"]
    far = not (
        low * Decimal(limits["refuse_below"]) <= kg <= high * Decimal(limits["refuse_above"])
    )
    told = {"kg": str(kg), "low_kg": str(low), "high_kg": str(high)}
    if far:
        return Judged((FieldError("formula", "far_outside_sample", told),))
    return Judged(warnings=(FieldError("formula", "outside_sample", told),))


def is_of_another_size(formula: Formula, kind: str) -> bool:
    """Return whether no animal of a kind measures what those of a formula's kinds do."""
    if not kind or not formula.kinds or kind in formula.kinds:
        return False
    ranges = fixture.load("weight_guards")["ranges"]
    own = ranges.get(kind, {})
    return all(
        any(
            own[name][1] < theirs[name][0] or theirs[name][1] < own[name][0]
            for name in own.keys() & theirs.keys()
        )
        for theirs in (ranges[each] for each in formula.kinds)
    )
