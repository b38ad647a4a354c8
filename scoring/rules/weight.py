"""A weight from measures by a published formula: always an estimate, with its likely error.

An estimate is not for drug doses, sedation or wormers without the vet. The formulas are
``fixtures/weight_formulas.json``, their sources and how sure each is beside them.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from scoring.rules import formulas, weight_guards, weight_shapes
from scoring.rules.formulas import Formula
from scoring.rules.weight_guards import Animal
from yards.rules import errors, fixture
from yards.rules.errors import FieldError

# The tables hold no other weight (``scoring_weighing_is_a_weight``).
LEAST_KG, MOST_KG = Decimal(5), Decimal(1500)
# Any length that can be written down; what is beyond no guard need name.
POSSIBLE_CM = (Decimal("0.1"), Decimal(2000))
_TENTH = Decimal("0.1")
Value = Decimal | float | int


@dataclass(frozen=True, slots=True)
class Estimate:
    """A weight in kilograms, to a tenth, and how far it is likely to be out, in kilograms.

    ``meaning`` is the key of what that error means; ``warnings`` say why it is less sure still.
    """

    formula: Formula
    weight_kg: Decimal
    likely_error_kg: Decimal
    meaning: str
    warnings: tuple[FieldError, ...]

    @property
    def covers_percent(self) -> int | None:
        """How many of a hundred animals lie within the likely error, where that is known."""
        return formulas.covers_percent(self.meaning)


def caution() -> str:
    """Return the line that stands with every estimate."""
    found: str = fixture.load("weight_formulas")["caution"]
    return found


def estimate(
    formula: str, measures: Mapping[str, Value | None], animal: Animal | None = None
) -> Estimate:
    """Return the weight that a formula makes of measures in centimetres, by name (``girth_cm``).

    ``formula`` is an id of the list. ``length_cm`` is the length that the formula defines; measures
    that it does not take are left alone. Domain: what such an animal can measure, and a formula
    for its species, sex and age. Raises Invalid with every fault at its field: an unknown formula,
    one for other animals, a measure that is missing, no finite number, in another unit, from
    another landmark, or not of one animal; and, of measures without a fault, a weight far outside
    the sample or 5 to 1500 kg. Under a formula for another species or age measures are not held
    to its ranges.
    """
    found = _listed(formula)
    who = weight_guards.of_animal(found, animal)
    read, faults = _read(found, measures)
    what = weight_guards.Judged()
    if who.is_of_the_kind:
        what = weight_guards.of_measures(found, read, animal)
    faults = [*who.faults, *faults, *what.faults]
    if faults:
        raise errors.Invalid(*faults)
    kg = _weight(found, read)
    beyond = weight_guards.of_weight(found, kg)
    if beyond.faults:
        raise errors.Invalid(*beyond.faults)
    error = found.error_at(_height(read, animal))
    return Estimate(
        formula=found,
        weight_kg=kg,
        likely_error_kg=error.kg if error.kg is not None else _share(kg, error.percent),
        meaning=error.meaning,
        warnings=(*who.warnings, *what.warnings, *beyond.warnings),
    )


def unjudged(formula: str, measures: Mapping[str, Value | None]) -> Decimal:
    """Return the kilograms of a formula and measures that were judged when they first came in.

    What came of the animal since does not undo that. Domain: measures from ``POSSIBLE_CM``, weights
    from 5 to 1500 kg. Raises Invalid for an unknown formula and for what is missing or beyond.
    """
    found = _listed(formula)
    read, faults = _read(found, measures)
    low, high = POSSIBLE_CM
    ends = {"low": str(low), "high": str(high)}
    faults += [
        FieldError(name, "out_of_range", ends) for name, cm in read.items() if not low <= cm <= high
    ]
    if faults:
        raise errors.Invalid(*faults)
    return _weight(found, read)


def _listed(formula: str) -> Formula:
    found = formulas.every().get(formula)
    if found is None:
        raise errors.Invalid(FieldError("formula", "unknown_formula"))
    return found


def _read(
    formula: Formula, measures: Mapping[str, Value | None]
) -> tuple[dict[str, Decimal], list[FieldError]]:
    """Return the measures that a formula takes, and what is missing or no finite number."""
    found: dict[str, Decimal] = {}
    faults = []
    for name in formula.fields:
        value = measures.get(name)
        if value is None:
            faults.append(FieldError(name, "required"))
        elif not _is_finite(value):
            faults.append(FieldError(name, "not_a_number"))
        else:
            found[name] = Decimal(str(value))
    return found, faults


def _is_finite(value: object) -> bool:
    if isinstance(value, bool) or not isinstance(value, Decimal | float | int):
        return False
    if isinstance(value, Decimal) and value.is_snan():  # no float takes it
        return False
    try:
        return math.isfinite(value)
    except OverflowError:  # an integer beyond every float
        return False


def _weight(formula: Formula, measures: Mapping[str, Decimal]) -> Decimal:
    plain = {name: float(value) for name, value in measures.items()}
    kg = weight_shapes.kilograms(formula.shape, plain)
    if not (math.isfinite(kg) and LEAST_KG <= kg <= MOST_KG):
        raise errors.Invalid(FieldError("formula", "formula_gives_no_weight"))
    return _tenth(Decimal(repr(kg)))


def _height(measures: Mapping[str, Decimal], animal: Animal | None) -> Decimal | None:
    if "height_cm" in measures:
        return measures["height_cm"]
    return animal.height_cm if animal is not None else None


def _share(kg: Decimal, percent: Decimal | None) -> Decimal:
    return _tenth(kg * (percent or Decimal(0)) / 100)


def _tenth(value: Decimal) -> Decimal:
    return value.quantize(_TENTH, ROUND_HALF_UP)


def fitting(animal: Animal) -> tuple[Formula, ...]:
    """Return the formulas for an animal, those made on its kind first; none for a mule.

    One of no known age is offered those for grown animals. One made on fat animals only comes
    last, since fatness is not known here; one made on a kind of another size is left out.
    """
    offered = [
        each
        for each in formulas.every().values()
        if not weight_guards.of_animal(each, animal).faults
        and not weight_guards.is_of_another_size(each, animal.kind)
    ]
    if animal.months is None:
        offered = [each for each in offered if not each.is_for_young]
    return tuple(sorted(offered, key=lambda each: (each.only_fat, not _is_of_kind(each, animal))))


def _is_of_kind(formula: Formula, animal: Animal) -> bool:
    return not animal.kind or not formula.kinds or animal.kind in formula.kinds


def agrees(weight_kg: Decimal, estimated: Estimate) -> bool:
    """Return whether a weight is what the formula makes, be it rounded to the whole kilogram."""
    within = Decimal(fixture.load("weight_guards")["agree_within_kg"])
    return abs(weight_kg - estimated.weight_kg) <= within
