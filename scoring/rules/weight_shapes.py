"""The arithmetic of the weight formulas: measures in centimetres in, kilograms out.

Four shapes: a product of powers over a divisor, a sum, a polynomial of one measure, and the trunk
and legs of a foal taken as cylinders (Staniar et al. 2004, metres, V / 4 pi). Nothing is judged
here; ``weight`` asks the guards first and refuses what is no finite weight.
"""

import math
from collections.abc import Callable, Mapping
from typing import Any

from yards.rules import units

Shape = Mapping[str, Any]
Centimetres = Mapping[str, float]
IN_LB = "in_lb"
_CM_IN_M = 100.0


def kilograms(shape: Shape, measures: Centimetres) -> float:
    """Return the weight in kilograms that a shape makes of measures in centimetres.

    It may be no weight at all (negative, or beyond a float): the caller judges it. Raises KeyError
    for a measure that is missing, OverflowError beyond a float.
    """
    return _FORMS[shape["form"]](shape, measures)


def _product(shape: Shape, measures: Centimetres) -> float:
    """Return factor x product of powers / divisor, in the units it was published in."""
    is_in_lb = shape.get("units") == IN_LB
    unit = float(units.CM_PER_IN) if is_in_lb else 1.0
    found: float = shape.get("factor", 1.0)
    for name, power in shape["powers"].items():
        found *= math.pow(measures[name] / unit, power)
    divisor: float = shape["divisor"]
    return found / divisor * (float(units.KG_PER_LB) if is_in_lb else 1.0)


def _linear(shape: Shape, measures: Centimetres) -> float:
    found: float = shape["constant"]
    for name, times in shape["terms"].items():
        found += times * measures[name]
    return found


def _polynomial(shape: Shape, measures: Centimetres) -> float:
    at = measures[shape["of"]]
    return math.fsum(weight * math.pow(at, place) for place, weight in enumerate(shape["terms"]))


def _trunk_and_legs(shape: Shape, measures: Centimetres) -> float:
    """Return the foal's weight from its volume in cubic metres, on the line below or above a break.

    V = (girth squared x length + 4 x carpus squared x forelimb) / 4 pi.
    """
    girth, length, carpus, forelimb = (
        measures[name] / _CM_IN_M for name in ("girth_cm", "length_cm", "carpus_cm", "forelimb_cm")
    )
    volume = (girth**2 * length + 4 * carpus**2 * forelimb) / (4 * math.pi)
    below: float = shape["below"]
    above: float = shape["above"]
    plus: float = shape["plus"]
    return volume * below if volume < shape["break_m3"] else volume * above + plus


_FORMS: Mapping[str, Callable[[Shape, Centimetres], float]] = {
    "product": _product,
    "linear": _linear,
    "polynomial": _polynomial,
    "trunk_and_legs": _trunk_and_legs,
}
