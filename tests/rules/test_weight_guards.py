"""The guards of the weight formulas: each names what is wrong and what to do, at its field."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import formulas, weight, weight_guards
from scoring.rules.weight_guards import Animal
from tests.outside import WITHIN_TOLERANCE, outside
from yards.rules import allowed, errors, units

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
@pytest.mark.parametrize(("belly", "shoulder", "elbow"), [(170, 158, 128), (204, 185, 153)])
def test_the_shoulder_s_length_for_the_elbow_s(belly: int, shoulder: int, elbow: int) -> None:
    assert refused("jones_1989", belly_girth=belly, length=shoulder) == {
        "length_cm": "length_from_shoulder"
    }
    assert refused("jones_1989", belly_girth=belly, length=elbow) == {}
    assert warned("jones_1989", belly_girth=belly, length=elbow) == {}


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


def test_between_the_two_lengths_it_is_a_warning() -> None:
    assert warned("jones_1989", belly_girth=180, length=152) == {
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


@outside(
    "96 and 80 inches are a horse of 1015 kg, 65 and 60 inches a donkey of 433 kg, by the formulas",
    source="Carroll and Huntington 1988, Equine Vet J 20:41-45, abstract; Svendsen 1997, The "
    "Professional Handbook of the Donkey, as quoted elsewhere",
    status=WITHIN_TOLERANCE,
)
def test_inches_that_may_be_the_centimetres_of_a_smaller_kind_are_warned_of() -> None:
    heavy = {"girth": 96, "length": 80}
    inches = {"girth_cm": "perhaps_inches"}
    for unknown in (None, Animal("horse")):
        assert warned("carroll_huntington_1988", unknown, **heavy) == inches
        assert warned("svendsen_1997", None, girth=65, height=60)["girth_cm"] == "perhaps_inches"
    found = weight.estimate("carroll_huntington_1988", {"girth_cm": 96, "length_cm": 80})
    [warning] = found.warnings
    assert warning.params == {"cm": "96", "meant_cm": "243.8"}
    meant = weight.estimate("carroll_huntington_1988", {"girth_cm": 243.8, "length_cm": 203.2})
    assert (round(found.weight_kg), round(meant.weight_kg)) == (62, 1015)
    donkey = weight.estimate("svendsen_1997", {"girth_cm": 165.1, "height_cm": 152.4})
    assert round(donkey.weight_kg) == 433


def test_the_kind_or_the_height_on_record_tells_inches_from_centimetres() -> None:
    small: dict[str, Any] = {"girth": 96, "length": 80}
    assert warned("carroll_huntington_1988", Animal("horse", "pony"), **small) == {}
    draught = Animal("horse", "draught")
    assert refused("carroll_huntington_1988", draught, **small)["girth_cm"] == "looks_like_inches"
    shetland = Animal("horse", height_cm=Decimal(85))
    assert "girth_cm" not in warned("carroll_huntington_1988", shetland, **small)
    tall = Animal("horse", height_cm=Decimal(180))
    assert refused("carroll_huntington_1988", tall, **small) == {"girth_cm": "measures_do_not_fit"}
    short, large = (Animal("donkey", height_cm=Decimal(cm)) for cm in (62, 150))
    measured: dict[str, Any] = {"girth": 65, "height": 60}
    assert "girth_cm" not in warned("svendsen_1997", short, **measured)
    assert warned("svendsen_1997", large, **measured)["girth_cm"] == "perhaps_inches"


@given(st.decimals(96, 284, places=1), st.decimals(80, 230, places=1))
def test_no_animal_taped_in_inches_is_estimated_without_a_word(cm: Decimal, along: Decimal) -> None:
    """Of no kind on record: refused, or warned of, whatever its size."""
    sent = {
        name: str(round(value / units.CM_PER_IN, 1))
        for name, value in (("girth_cm", cm), ("length_cm", along))
    }
    measures = {name: Decimal(value) for name, value in sent.items()}
    try:
        found = weight.estimate("carroll_huntington_1988", measures)
    except errors.Invalid:
        return
    assert "perhaps_inches" in {each.key for each in found.warnings}


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
        Decimal("sNaN"),
        Decimal("Infinity"),
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


def test_faults_of_the_animal_and_of_the_measures_are_told_in_one_go() -> None:
    donkey = Animal("donkey")
    assert refused("carroll_huntington_1988", donkey, girth=76) == {
        "formula": "formula_for_species",
        "length_cm": "required",
    }
    assert refused("carroll_huntington_1988", donkey, girth=Decimal("NaN"), length=67) == {
        "formula": "formula_for_species",
        "girth_cm": "not_a_number",
    }
    assert refused("carroll_huntington_1988", girth=76) == {
        "girth_cm": "looks_like_inches",
        "length_cm": "required",
    }
    jenny = Animal("donkey", sex="mare")
    assert refused("mexico_2005_male", jenny, girth=45) == {
        "formula": "formula_for_other_sex",
        "girth_cm": "looks_like_inches",
    }


def test_a_formula_for_others_does_not_say_what_such_an_animal_measures() -> None:
    """Its ranges are of its own species and age, and a grown horse is no foal of 210 cm."""
    grown = Animal("horse", months=(120, 131))
    sent: dict[str, Any] = {"girth": 210, "length": 180, "carpus": 45, "forelimb": 115}
    assert refused("staniar_2004", grown, **sent) == {"formula": "formula_for_young_animals"}
    assert refused("carroll_huntington_1988", Animal("donkey", "miniature_donkey"), girth=1) == {
        "formula": "formula_for_species",
        "length_cm": "required",
    }


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"species": "zebra"}, "species"),
        ({"kind": "zebra"}, "kind"),
        ({"kind": "standard_donkey"}, "kind"),
        ({"sex": "male"}, "sex"),
        ({"height_cm": Decimal("NaN")}, "height_cm"),
        ({"height_cm": Decimal("sNaN")}, "height_cm"),
        ({"height_cm": Decimal(0)}, "height_cm"),
        ({"height_cm": Decimal(231)}, "height_cm"),
        ({"months": (12, 3)}, "months"),
        ({"months": (-1, 3)}, "months"),
    ],
)
def test_an_animal_that_cannot_be_is_refused_by_name(given: dict[str, Any], field: str) -> None:
    with pytest.raises(allowed.OutOfRange) as caught:
        Animal(**{"species": "horse", **given})
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("formula", "sent", "fault"),
    [
        ("by_guess", {"girth_cm": 115}, ("formula", "unknown_formula")),
        ("pearson_ouassat_1996", {"girth_cm": -1}, ("girth_cm", "out_of_range")),
        ("pearson_ouassat_1996", {"girth_cm": 1e300}, ("girth_cm", "out_of_range")),
        ("pearson_ouassat_1996", {"girth_cm": Decimal("sNaN")}, ("girth_cm", "not_a_number")),
        ("pearson_ouassat_1996", {}, ("girth_cm", "required")),
        ("pearson_ouassat_1996", {"girth_cm": 1}, ("formula", "formula_gives_no_weight")),
        ("pearson_ouassat_1996", {"girth_cm": 2000}, ("formula", "formula_gives_no_weight")),
    ],
)
def test_what_is_not_judged_again_is_still_a_weight(
    formula: str, sent: dict[str, Any], fault: tuple[str, str]
) -> None:
    with pytest.raises(errors.Invalid) as caught:
        weight.unjudged(formula, sent)
    assert [(each.field, each.key) for each in caught.value.errors] == [fault]


@given(st.sampled_from(sorted(formulas.every())), st.data())
def test_whatever_is_not_judged_again_is_a_weight_or_refused(
    formula: str, data: st.DataObject
) -> None:
    listed = formulas.every()[formula]
    sent = {name: data.draw(st.decimals()) for name in listed.fields}
    try:
        kg = weight.unjudged(formula, sent)
    except errors.Invalid:
        return
    assert weight.LEAST_KG <= kg <= weight.MOST_KG
