"""Weights by formula against weighed horses, and the likely errors against what was measured."""

from collections.abc import Mapping
from decimal import Decimal

import pytest

from scoring.rules import formulas, weight, weight_guards, weight_shapes
from tests.oracles import stats
from tests.outside import EXACT, WITHIN_TOLERANCE, outside
from tests.rules.test_weight import kg
from yards.rules import fixture, units

JENSEN = "Jensen et al. 2019, Acta Veterinaria Scandinavica 61, table 2"
ICELANDIC = {"girth": 166, "belly": 170, "shoulder": 158, "elbow": 128, "height": 138, "neck": 87}
WARMBLOOD = {"girth": 204, "belly": 204, "shoulder": 185, "elbow": 153, "height": 172, "neck": 98}
NAMES = {"belly": "belly_girth_cm", "shoulder": "length_cm", "elbow": "length_cm"}


def of_group(formula: str, group: Mapping[str, float], *names: str) -> float:
    """Return what a formula makes of a group's means, from the measures named."""
    sent = {NAMES.get(name, f"{name}_cm"): group[name] for name in names}
    return float(weight.estimate(formula, sent).weight_kg)


@outside(
    "formulas of the list stay within 8% of the weighed mean of 43 Icelandic horses",
    source=JENSEN,
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(
    ("formula", "names"),
    [
        ("carroll_huntington_1988", ("girth", "shoulder")),
        ("girth_length_330", ("girth", "shoulder")),
        ("icelandic_2013", ("girth", "shoulder")),
        ("jones_1989", ("belly", "elbow")),
        ("martinson_2014_pony", ("girth", "shoulder", "height", "neck")),
    ],
)
def test_icelandic_means(formula: str, names: tuple[str, ...]) -> None:
    assert of_group(formula, ICELANDIC, *names) == pytest.approx(366, rel=0.08)


@outside(
    "formulas of the list stay within 12% of the weighed mean of 38 warmbloods",
    source=JENSEN,
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(
    ("formula", "names"),
    [
        ("carroll_huntington_1988", ("girth", "shoulder")),
        ("girth_length_330", ("girth", "shoulder")),
        ("catalano_2016_warmblood", ("girth", "shoulder", "height", "neck")),
        ("martin_rosset_1990", ("girth", "height")),
        ("jones_1989", ("belly", "elbow")),
    ],
)
def test_warmblood_means(formula: str, names: tuple[str, ...]) -> None:
    assert of_group(formula, WARMBLOOD, *names) == pytest.approx(640, rel=0.12)


@outside(
    "the divisor 8717 is 11% over on Icelandic horses and 14% on warmbloods, so it is left out",
    source=JENSEN,
    status=WITHIN_TOLERANCE,
)
def test_hall_is_over_on_both_groups_and_left_out() -> None:
    over = [
        group["girth"] ** 2 * group["elbow"] / 8717 / kg
        for group, kg in ((ICELANDIC, 366), (WARMBLOOD, 640))
    ]
    assert [round(each, 2) for each in over] == [1.11, 1.14]
    assert "hall_1971" not in formulas.every()
    [row] = [
        row for row in fixture.load("weight_formulas")["left_out"] if row["what"].startswith("Hall")
    ]
    assert "11% on Icelandic horses, 14% on warmbloods" in row["why"]


@outside(
    "Jones's length has the exponent 0.97: 1.05 makes half as much again of a mean horse",
    source="Jones et al. 1989, Vet Rec 125:549-553, abstract; weights of Jensen et al. 2019",
    status=WITHIN_TOLERANCE,
)
def test_the_exponent_that_circulates_is_not_ours() -> None:
    shape = formulas.every()["jones_1989"].shape
    wrong = {**shape, "powers": {**shape["powers"], "length_cm": 1.05}}
    mean = {"belly_girth_cm": 204.0, "length_cm": 153.0}
    assert weight_shapes.kilograms(shape, mean) == pytest.approx(564, abs=1)
    assert weight_shapes.kilograms(wrong, mean) == pytest.approx(844, abs=1)


@outside(
    "one girth of 115 cm makes 114 to 144 kg of a donkey, by population: the likely error",
    source="Pearson and Ouassat 1996, de Aluja et al. 2005, Nininahazwe et al. 2017",
    status=WITHIN_TOLERANCE,
)
def test_the_spread_of_donkey_formulas_is_their_likely_error() -> None:
    ids = ("pearson_ouassat_1996", "west_africa_2017", "west_africa_2017_linear")
    found = [kg(each, girth=115) for each in (*ids, "mexico_2005_male", "mexico_2005_female")]
    assert (round(min(found)), round(max(found))) == (114, 144)
    mean = sum(found, Decimal(0)) / len(found)
    error = formulas.every()["pearson_ouassat_1996"].error_at(None)
    assert error.percent is not None
    assert max(abs(each - mean) / mean for each in found) * 100 <= error.percent


@outside(
    "centimetres and kilograms are 36.127 times inches and pounds under girth squared x length",
    source="NIST Special Publication 811, appendix B: pound and inch",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(
    ("in_lb", "cm_kg"), [(330, 11922), (300, 10838), (241.3, 8717.5), (228.1, 8240.6)]
)
def test_the_two_units_are_one_formula(in_lb: float, cm_kg: float) -> None:
    assert float(units.CM_PER_IN) ** 3 / float(units.KG_PER_LB) == pytest.approx(36.127, abs=0.001)
    powers = {"girth_cm": 2, "length_cm": 1}
    here = {"form": "product", "powers": powers, "divisor": in_lb, "units": "in_lb"}
    there = {"form": "product", "powers": powers, "divisor": cm_kg}
    horse = {"girth_cm": 185.0, "length_cm": 165.0}
    one, other = (weight_shapes.kilograms(each, horse) for each in (here, there))
    assert one == pytest.approx(other, rel=1e-4)


@outside(
    "the formula's error against a weighbridge, of 600 horses, by height",
    source="Ellis and Hollands 1998, Vet Rec 143:335, abstract",
    status=EXACT,
)
@pytest.mark.parametrize(("height", "sd"), [(None, "10.6"), (140, "5.2"), (165, "13.1")])
def test_the_error_of_carroll_and_huntington(height: int | None, sd: str) -> None:
    row = fixture.load("weight_formulas")["accuracy"]["rows"]["formula"]
    assert [each[1] for each in row] == ["10.6", "5.2", "13.1"]
    assert [each[0] for each in row] == ["98.6", "99.6", "95.5"]
    animal = weight_guards.Animal("horse", height_cm=Decimal(height) if height else None)
    girth, length = (170, 150) if height == 140 else (190, 165)
    sent = {"girth_cm": girth, "length_cm": length}
    found = weight.estimate("carroll_huntington_1988", sent, animal)
    assert found.likely_error_kg == round(found.weight_kg * Decimal(sd) / 100, 1)


@outside(
    "two tapes and the eye against a weighbridge, of 600 horses",
    source="Ellis and Hollands 1998, Vet Rec 143:335, abstract",
    status=EXACT,
)
def test_the_error_of_tapes_and_the_eye() -> None:
    rows = fixture.load("weight_formulas")["accuracy"]["rows"]
    assert rows["tape_1"] == [["112.0", "9.3"], ["113.5", "6.5"], ["103.5", "9.1"]]
    assert rows["tape_2"] == [["98.1", "8.1"], ["99.0", "5.6"], ["91.8", "9.2"]]
    assert rows["by_eye"] == [["88.3", "20.1"], ["88.4", "16.3"], ["89.3", "22.2"]]


def test_fifteen_hands_are_where_the_error_changes() -> None:
    low = formulas.every()["carroll_huntington_1988"].error_at(Decimal("152.3"))
    high = formulas.every()["carroll_huntington_1988"].error_at(Decimal("152.4"))
    assert Decimal(units.stored("15.0", units.HANDS)) == Decimal("152.4")
    assert (low.percent, high.percent) == (Decimal("5.2"), Decimal("13.1"))


@pytest.mark.parametrize("formula", formulas.every().values(), ids=lambda each: each.id)
def test_each_says_all_that_a_reader_needs(formula: formulas.Formula) -> None:
    assert formula.title
    assert formula.source
    assert formula.population
    assert formula.confidence in formulas.CONFIDENCES
    assert formula.species in ("horse", "donkey")
    assert all(each.landmark.endswith(".") for each in formula.measures)
    for error in formula.errors:
        assert error.meaning in formulas.MEANINGS
        assert (error.percent is None) != (error.kg is None)
    assert formula.error_at(None).is_for_any_height


def test_no_formula_is_for_mules_and_what_is_left_out_is_told() -> None:
    assert weight.fitting(weight_guards.Animal("mule")) == ()
    told = " ".join(row["what"] for row in fixture.load("weight_formulas")["left_out"])
    for each in ("Kay", "380", "1.05", "11877", "Kienzle", "ideal", "Milner", "Hall"):
        assert each in told
    divisors = {each.shape.get("divisor") for each in formulas.every().values()}
    assert not divisors & {380, 11877, 228.1, 8717}


@pytest.mark.parametrize(
    ("animal", "first"),
    [
        (weight_guards.Animal("horse"), "carroll_huntington_1988"),
        (weight_guards.Animal("horse", "pony", months=(120, 131)), "carroll_huntington_1988"),
        (weight_guards.Animal("horse", months=(3, 3)), "staniar_2004"),
        (weight_guards.Animal("donkey"), "pearson_ouassat_1996"),
        (weight_guards.Animal("donkey", months=(20, 20)), "pearson_ouassat_1996_young"),
        (weight_guards.Animal("donkey", "large_donkey", "mare"), "miranda_2019"),
        (weight_guards.Animal("donkey", "miniature_donkey"), "pearson_ouassat_1996"),
    ],
)
def test_the_most_fitting_comes_first(animal: weight_guards.Animal, first: str) -> None:
    offered = [each.id for each in weight.fitting(animal)]
    assert offered[0] == first
    assert len(offered) == len(set(offered))


@pytest.mark.parametrize("kind", ["", "standard_donkey", "miniature_donkey", "large_donkey"])
def test_a_formula_of_fat_donkeys_is_offered_last(kind: str) -> None:
    offered = [each.id for each in weight.fitting(weight_guards.Animal("donkey", kind))]
    assert offered[-1] == "svendsen_1997"
    grown = [each.id for each in formulas.every().values() if each.species == "donkey"]
    assert grown[-2:] == ["svendsen_1997", "pearson_ouassat_1996_young"]


def test_no_formula_of_draught_horses_is_offered_for_a_miniature() -> None:
    """They share no girth: the lightest draught horse's begins where the miniatures' ends."""
    offered = {each.id for each in weight.fitting(weight_guards.Animal("horse", "miniature"))}
    assert "catalano_2016_draught" not in offered
    assert "carroll_huntington_1988" in offered
    for kind in ("", "draught", "cob", "light_horse", "pony"):
        found = {each.id for each in weight.fitting(weight_guards.Animal("horse", kind))}
        assert "catalano_2016_draught" in found, kind


@outside(
    "a standard deviation covers 68 of 100 animals, two of them on either side 95",
    source="scipy.stats.norm.cdf, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_what_a_likely_error_covers() -> None:
    within = [100 * (1 - 2 * stats.norm.sf(each)) for each in (1, 1.96)]
    assert [round(each) for each in within] == [68, 95]
    told = {name: formulas.covers_percent(name) for name in formulas.MEANINGS}
    assert {name for name, found in told.items() if found == 68} == {"sd", "rms", "like"}
    assert {name for name, found in told.items() if found == 95} == {"limits"}
    assert {name for name, found in told.items() if found is None} == {"printed", "spread", "ours"}
    for formula in formulas.every().values():
        assert len({each.covers_percent for each in formula.errors}) == 1, formula.id


def test_what_is_from_memory_of_martinson_s_is_said_to_be() -> None:
    for kind in ("pony", "arabian", "stock"):
        assert (
            "the error of 22 kg are from memory" in formulas.every()[f"martinson_2014_{kind}"].note
        )
