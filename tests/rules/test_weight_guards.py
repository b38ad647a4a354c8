"""The guards of the weight formulas: each names what is wrong and what to do, at its field."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import formulas, weight, weight_guards
from scoring.rules.weight_guards import Animal
from tests.outside import WITHIN_TOLERANCE, outside
from yards.rules import errors, units

JENSEN = "Jensen et al. 2019, Acta Veterinaria Scandinavica 61, table 2"


def refused(formula: str, animal: Animal | None = None, **cm: Any) -> dict[str, str]:
    """Return the faults by field, or nothing for what is taken."""
    sent = {f"{name}_cm": value for name, value in cm.items()}
    try:
        weight.estimate(formula, sent, animal)
    except errors.Invalid as found:
        return {each.field: each.key for each in found.errors}
    return {}


def warned(formula: str, animal: Animal | None = None, **cm: Any) -> dict[str, str]:
    """Return the warnings of an estimate by field."""
    sent = {f"{name}_cm": value for name, value in cm.items()}
    return {each.field: each.key for each in weight.estimate(formula, sent, animal).warnings}


@outside(
    "a formula for the length from the elbow is not fed the length from the shoulder",
    source=JENSEN,
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(("girth", "shoulder", "elbow"), [(166, 158, 128), (204, 185, 153)])
@pytest.mark.parametrize("formula", ["hall_1971"])
def test_the_shoulder_s_length_for_the_elbow_s(
    formula: str, girth: int, shoulder: int, elbow: int
) -> None:
    """With the wrong length it would make 499 and 883 kg of horses of 366 and 640 kg."""
    assert refused(formula, girth=girth, length=shoulder) == {"length_cm": "length_from_shoulder"}
    assert refused(formula, girth=girth, length=elbow) == {}
    assert warned(formula, girth=girth, length=elbow) == {}


@outside(
    "a formula for the length from the shoulder is not fed the length from the elbow",
    source=JENSEN,
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(("girth", "shoulder", "elbow"), [(166, 158, 128), (204, 185, 153)])
@pytest.mark.parametrize("formula", ["carroll_huntington_1988", "girth_length_330"])
def test_the_elbow_s_length_for_the_shoulder_s(
    formula: str, girth: int, shoulder: int, elbow: int
) -> None:
    assert refused(formula, girth=girth, length=elbow) == {"length_cm": "length_from_elbow"}
    assert refused(formula, girth=girth, length=shoulder) == {}
    assert warned(formula, girth=girth, length=shoulder) == {}


@outside(
    "belly girth and length from the elbow, and from the shoulder",
    source=JENSEN,
    status=WITHIN_TOLERANCE,
)
def test_the_belly_tells_the_wrong_length_too() -> None:
    assert refused("jones_1989", belly_girth=170, length=158) == {
        "length_cm": "length_from_shoulder"
    }
    assert refused("jones_1989", belly_girth=170, length=128) == {}


def test_between_the_two_lengths_it_is_a_warning() -> None:
    assert warned("hall_1971", girth=180, length=152) == {
        "length_cm": "length_perhaps_from_shoulder"
    }
    assert warned("carroll_huntington_1988", girth=180, length=145) == {
        "length_cm": "length_perhaps_from_elbow"
    }


@outside(
    "a girth of 76 and a length of 67 are inches, of a horse of 1173 lb",
    source="University of Minnesota, veterinary extension page, printed example",
    status=WITHIN_TOLERANCE,
)
def test_inches_typed_as_centimetres() -> None:
    with pytest.raises(errors.Invalid) as found:
        weight.estimate("carroll_huntington_1988", {"girth_cm": 76, "length_cm": 67})
    girth, length = found.value.errors
    assert (girth.field, girth.key) == ("girth_cm", "looks_like_inches")
    assert girth.params == {"cm": "76", "meant_cm": "193.0"}
    assert (length.field, length.key) == ("length_cm", "looks_like_inches")


def test_centimetres_taken_for_inches() -> None:
    with pytest.raises(errors.Invalid) as found:
        weight.estimate("carroll_huntington_1988", {"girth_cm": 469.9, "length_cm": 165})
    [girth] = found.value.errors
    assert girth.key == "inches_taken_twice"
    assert girth.params == {"cm": "469.9", "meant_cm": "185.0"}


@given(st.decimals(96, 284, places=1))
def test_every_girth_in_inches_is_caught_or_fits_a_smaller_kind(cm: Decimal) -> None:
    formula = formulas.every()["carroll_huntington_1988"]
    low, high = weight_guards._range(formula, formula.measures[0], None)
    typed = round(cm / units.CM_PER_IN, 1)
    found = refused("carroll_huntington_1988", girth=typed, length=165)
    if typed < low:
        assert found["girth_cm"] == "looks_like_inches"
    assert low <= cm <= high


@pytest.mark.parametrize(
    ("girth", "key"),
    [(1, "measure_unlikely"), (999, "measure_unlikely"), (45, "looks_like_inches")],
)
def test_a_slipped_digit(girth: int, key: str) -> None:
    assert refused("carroll_huntington_1988", girth=girth, length=165)["girth_cm"] == key


@pytest.mark.parametrize(
    "value",
    [
        float("nan"),
        float("inf"),
        float("-inf"),
        Decimal("NaN"),
        Decimal("1e400"),
        10**400,
        True,
        "9",
    ],
)
def test_what_is_no_finite_number(value: Any) -> None:
    assert refused("carroll_huntington_1988", girth=value, length=165) == {
        "girth_cm": "not_a_number"
    }


@pytest.mark.parametrize("value", [0, -185, Decimal("-0.1"), 1e300])
def test_what_no_animal_measures(value: Any) -> None:
    assert refused("carroll_huntington_1988", girth=value, length=165) == {
        "girth_cm": "measure_unlikely"
    }


def test_a_missing_measure_and_an_unknown_formula() -> None:
    assert refused("carroll_huntington_1988", girth=185) == {"length_cm": "required"}
    assert refused("carroll_huntington_1988") == {"girth_cm": "required", "length_cm": "required"}
    assert refused("by_guess", girth=185) == {"formula": "unknown_formula"}


def test_faults_are_told_together_and_warnings_only_without_them() -> None:
    faults = refused("martinson_2014_pony", girth=73, length=65, height=61, neck=37)
    assert set(faults) == {"girth_cm", "length_cm", "height_cm", "neck_cm"}
    assert set(faults.values()) == {"looks_like_inches"}
