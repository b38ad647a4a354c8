"""Weights by formula against what the papers print."""

from decimal import Decimal

import pytest

from scoring.rules import formulas, weight
from tests.outside import EXACT, FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules import units


def kg(formula: str, **cm: float) -> Decimal:
    """Return the weight of measures named without their unit: ``girth=185``."""
    sent = {f"{name}_cm": Decimal(str(value)) for name, value in cm.items()}
    return weight.estimate(formula, sent).weight_kg


@outside(
    "girth squared x length / 11900 is the weight of a horse",
    source="Carroll and Huntington 1988, Equine Vet J 20:41-45, abstract: the divisor",
    status=WITHIN_TOLERANCE,
)
def test_carroll_and_huntington() -> None:
    assert kg("carroll_huntington_1988", girth=185, length=165) == Decimal("474.5")


@outside(
    "a horse of 76 in girth and 67 in length weighs 1173 lb",
    source="University of Minnesota, veterinary extension page, printed example",
    status=EXACT,
)
def test_pounds_and_inches_as_printed() -> None:
    found = kg("girth_length_330", girth=76 * 2.54, length=67 * 2.54)
    assert found == Decimal("531.9")
    assert units.shown(found, units.LB) == "1173"


@outside(
    "girth squared x length / 11400 for Icelandic horses",
    source="Estimation of the body weight of Icelandic horses, J Equine Vet Sci 2013, abstract",
    status=WITHIN_TOLERANCE,
)
def test_icelandic() -> None:
    assert kg("icelandic_2013", girth=185, length=165) == Decimal("495.4")


@outside(
    "belly girth^1.78 x length from the elbow^0.97 / 3011",
    source="Jones et al. 1989, Vet Rec 125:549-553, abstract",
    status=WITHIN_TOLERANCE,
)
def test_jones() -> None:
    found = weight.estimate("jones_1989", {"belly_girth_cm": 200, "length_cm": 140})
    assert found.weight_kg == Decimal("499.9")
    # 95% lay within 53 kg.
    assert (found.likely_error_kg, found.meaning) == (Decimal(53), "limits")


@outside(
    "the three formulas of four measures, divisors for centimetres and kilograms",
    source="Martinson et al. 2014, J Anim Sci 92:2230-2238",
    status=FROM_MEMORY,
)
@pytest.mark.parametrize(
    ("kind", "found"), [("arabian", "496.4"), ("pony", "495.0"), ("stock", "518.8")]
)
def test_martinson(kind: str, found: str) -> None:
    cm = {"girth": 185, "length": 165, "height": 155, "neck": 95}
    assert kg(f"martinson_2014_{kind}", **cm) == Decimal(found)


@outside(
    "the divisors for centimetres are those printed for inches and pounds, 119, 119 and 114",
    source="Martinson et al. 2014, J Anim Sci 92:2230-2238, as quoted elsewhere",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize(("kind", "printed"), [("arabian", 119), ("pony", 119), ("stock", 114)])
def test_martinson_s_divisors_agree_in_both_units(kind: str, printed: int) -> None:
    shape = formulas.every()[f"martinson_2014_{kind}"].shape
    power = sum(shape["powers"].values())
    in_lb = shape["divisor"] * float(units.KG_PER_LB) / float(units.CM_PER_IN) ** power
    # Both divisors are rounded to the whole: half of one, and half of the other's 3.3%.
    assert in_lb == pytest.approx(printed, abs=0.5 + 0.5 * 0.034)


@outside(
    "4.3 x girth + 3 x height - 785, within 25 kg, for a sport horse",
    source="Martin-Rosset 1990, after the French horse institute IFCE",
    status=WITHIN_TOLERANCE,
)
def test_martin_rosset() -> None:
    found = weight.estimate("martin_rosset_1990", {"girth_cm": 185, "height_cm": 155})
    assert (found.weight_kg, found.likely_error_kg) == (Decimal("475.5"), Decimal(25))


@outside(
    "a foal's weight from the volume of trunk and forelegs, V/(4 pi), on two lines",
    source="Staniar et al. 2004, Equine Vet J 36:149-154, abstract",
    status=WITHIN_TOLERANCE,
)
def test_staniar() -> None:
    foal = {"girth": 85, "carpus": 27, "length": 75, "forelimb": 85}
    yearling = {"girth": 160, "carpus": 32, "length": 145, "forelimb": 105}
    assert kg("staniar_2004", **foal) == Decimal("68.7")
    assert kg("staniar_2004", **yearling) == Decimal("348.3")
    shape = formulas.every()["staniar_2004"].shape
    at = shape["break_m3"]
    assert at * shape["below"] == pytest.approx(295.1, abs=0.05)
    assert at * shape["above"] + shape["plus"] == pytest.approx(289.7, abs=0.05)


@outside(
    "donkeys by girth, and young donkeys by belly girth and length from the elbow",
    source="Pearson and Ouassat 1996, Vet Rec 138:229-232, abstract",
    status=WITHIN_TOLERANCE,
)
def test_pearson_and_ouassat() -> None:
    assert kg("pearson_ouassat_1996", girth=115) == Decimal("132.1")
    assert kg("pearson_ouassat_1996_young", belly_girth=100, length=80) == Decimal("78.4")


@outside(
    "donkeys by girth and length with the divisor 3801, where the abstract prints 380",
    source="Pearson and Ouassat 2000, guide to live weight estimation of donkeys",
    status=FROM_MEMORY,
)
def test_pearson_and_ouassat_corrected() -> None:
    assert round(kg("pearson_ouassat_2000", girth=115, length=90)) == 136
    assert round(kg("pearson_ouassat_2000", girth=115, length=100)) == 146
    assert formulas.every()["pearson_ouassat_2000"].confidence == "memory"


@outside(
    "fat donkeys at rest by girth and height",
    source="Svendsen 1997, The Professional Handbook of the Donkey, as quoted elsewhere",
    status=WITHIN_TOLERANCE,
)
def test_svendsen() -> None:
    assert kg("svendsen_1997", girth=120, height=104) == Decimal("173.5")


@outside(
    "West African donkeys by girth, a line and a power",
    source="Nininahazwe et al. 2017, Veterinary World 10:1221-1226, abstract",
    status=WITHIN_TOLERANCE,
)
def test_west_africa() -> None:
    assert kg("west_africa_2017_linear", girth=115) == Decimal("139.8")
    assert kg("west_africa_2017", girth=115) == Decimal("144.1")


@outside(
    "Mexican donkeys by girth, males and females apart",
    source="de Aluja et al. 2005, Trop Anim Health Prod, doi 10.1007/s11250-005-9007-0, abstract",
    status=WITHIN_TOLERANCE,
)
def test_mexico() -> None:
    assert kg("mexico_2005_male", girth=115) == Decimal("115.6")
    assert kg("mexico_2005_female", girth=115) == Decimal("114.2")


@outside(
    "Miranda donkeys by girth",
    source="Quaresma et al. 2019, J Equine Vet Sci, as quoted elsewhere",
    status=WITHIN_TOLERANCE,
)
def test_miranda() -> None:
    assert kg("miranda_2019", girth=140) == Decimal("247.0")
