"""A formula and the animal that was measured: species, age, sex, kind and sample must fit."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest

from scoring.rules import clocks, measured
from scoring.rules.weight_guards import Animal
from tests.outside import COMMON_PRACTICE, WITHIN_TOLERANCE, outside
from tests.rules.test_weight_guards import refused, warned

JENSEN = "Jensen et al. 2019, Acta Veterinaria Scandinavica 61, table 2"


@outside(
    "a horse's formula is not for a donkey, nor either for a mule",
    source="Pearson and Ouassat 1996, Vet Rec 138:229-232; Kay et al. 2004, Vet Rec 154:85-88",
    status=WITHIN_TOLERANCE,
)
def test_a_formula_of_another_species() -> None:
    """Both papers found that formulas for other equids overestimate."""
    cm: dict[str, Any] = {"girth": 115, "length": 104}
    for species in ("donkey", "mule"):
        found = refused("carroll_huntington_1988", Animal(species), **cm)
        assert found == {"formula": "formula_for_species"}
    assert refused("pearson_ouassat_1996", Animal("horse"), girth=115) == {
        "formula": "formula_for_species"
    }


@outside(
    "a formula for foals is not for grown horses, nor the other way",
    source="Growing animals are of another shape than grown ones",
    status=COMMON_PRACTICE,
)
def test_a_formula_of_another_age() -> None:
    foal: dict[str, Any] = {"girth": 160, "carpus": 32, "length": 145, "forelimb": 105}
    assert refused("staniar_2004", Animal("horse", months=(60, 71)), **foal) == {
        "formula": "formula_for_young_animals"
    }
    assert refused("staniar_2004", Animal("horse", months=(11, 11)), **foal) == {}
    assert refused(
        "carroll_huntington_1988", Animal("horse", months=(5, 5)), girth=140, length=125
    ) == {"formula": "formula_for_grown_animals"}
    assert refused("pearson_ouassat_1996", Animal("donkey", months=(20, 31)), girth=100) == {
        "formula": "formula_for_grown_animals"
    }


def test_an_age_that_leaves_it_open_is_a_warning() -> None:
    open_ = {"formula": "age_not_known_for_formula"}
    foal: dict[str, Any] = {"girth": 160, "carpus": 32, "length": 145, "forelimb": 105}
    assert warned("staniar_2004", Animal("horse"), **foal) == open_
    born_last_year = Animal("horse", months=(20, 31))
    assert warned("carroll_huntington_1988", born_last_year, girth=170, length=150) == open_
    assert warned("carroll_huntington_1988", Animal("horse"), girth=170, length=150) == {}


@outside(
    "males and females have a formula each",
    source="de Aluja et al. 2005, Trop Anim Health Prod, doi 10.1007/s11250-005-9007-0, abstract",
    status=WITHIN_TOLERANCE,
)
def test_a_formula_of_the_other_sex() -> None:
    jenny, jack = (Animal("donkey", sex=sex) for sex in ("mare", "gelding"))
    assert refused("mexico_2005_male", jenny, girth=115) == {"formula": "formula_for_other_sex"}
    assert refused("mexico_2005_male", jack, girth=115) == {}
    assert refused("mexico_2005_male", Animal("donkey", sex="unknown"), girth=115) == {}


@outside(
    "outside 230 to 707 kg it is not the sample of the formula any more",
    source="Jones et al. 1989, Vet Rec 125:549-553, abstract",
    status=WITHIN_TOLERANCE,
)
def test_outside_the_sample() -> None:
    assert warned("jones_1989", belly_girth=240, length=165) == {"formula": "outside_sample"}
    assert refused("jones_1989", belly_girth=295, length=195) == {"formula": "far_outside_sample"}
    assert refused("jones_1989", belly_girth=105, length=78) == {"formula": "far_outside_sample"}


@outside(
    "working donkeys of the sample weighed 74 to 252 kg",
    source="Pearson and Ouassat 1996, Vet Rec 138:229-232, abstract",
    status=WITHIN_TOLERANCE,
)
def test_a_donkey_outside_the_sample() -> None:
    assert warned("pearson_ouassat_1996", girth=90) == {"formula": "outside_sample"}
    assert refused("pearson_ouassat_1996", girth=81) == {"formula": "far_outside_sample"}
    large = Animal("donkey", "large_donkey")
    assert warned("pearson_ouassat_1996", large, girth=150)["formula"] == "outside_sample"


@outside(
    "no pony under 112 cm was in the sample",
    source="Martinson et al. 2014, J Anim Sci 92:2230-2238",
    status=WITHIN_TOLERANCE,
)
def test_a_pony_smaller_than_the_sample() -> None:
    cm: dict[str, Any] = {"girth": 125, "length": 110, "height": 104, "neck": 70}
    assert warned("martinson_2014_pony", **cm) == {"height_cm": "shorter_than_sample"}


@outside(
    "no mare in foal was in the sample",
    source="Catalano et al. 2016, J Equine Vet Sci 39:38-43, abstract",
    status=WITHIN_TOLERANCE,
)
def test_a_mare_in_foal() -> None:
    mare = Animal("horse", "light_horse", "mare", is_pregnant=True)
    cm: dict[str, Any] = {"girth": 204, "length": 180, "height": 172, "neck": 98}
    assert warned("catalano_2016_warmblood", mare, **cm) == {
        "formula": "formula_not_for_mares_in_foal"
    }


@outside(
    "a foal to come widens the belly of its dam",
    source="people who keep horses",
    status=COMMON_PRACTICE,
)
def test_a_mare_in_foal_by_her_belly_girth() -> None:
    mare, empty = (Animal("horse", "pony", "mare", is_pregnant=each) for each in (True, False))
    cm: dict[str, Any] = {"belly_girth": 190, "length": 140}
    assert warned("jones_1989", mare, **cm) == {"belly_girth_cm": "belly_girth_in_foal"}
    assert warned("jones_1989", empty, **cm) == {}


@outside(
    "the formula is for fat donkeys at rest, scored 7 of 9 and over",
    source="Svendsen 1997, The Professional Handbook of the Donkey, as quoted elsewhere",
    status=WITHIN_TOLERANCE,
)
def test_a_formula_of_fat_donkeys_says_so_since_fatness_is_not_known() -> None:
    only = {"formula": "formula_for_fat_animals"}
    cm: dict[str, Any] = {"girth": 120, "height": 104}
    for animal in (None, Animal("donkey"), Animal("donkey", "standard_donkey")):
        assert warned("svendsen_1997", animal, **cm) == only
    assert warned("pearson_ouassat_1996", Animal("donkey", "standard_donkey"), girth=115) == {}


def test_another_kind_is_a_warning() -> None:
    draught = Animal("horse", "draught")
    assert warned("martin_rosset_1990", draught, girth=220, height=170) == {
        "formula": "formula_for_other_kinds"
    }


@outside(
    "girth and height go together: 1.20 times on Icelandic horses, 1.19 on warmbloods",
    source=JENSEN,
    status=WITHIN_TOLERANCE,
)
def test_a_girth_that_does_not_fit_the_height_on_record() -> None:
    tall = Animal("horse", height_cm=Decimal(172))
    assert refused("carroll_huntington_1988", tall, girth=135, length=125) == {
        "girth_cm": "measures_do_not_fit"
    }
    assert refused("carroll_huntington_1988", tall, girth=204, length=185) == {}
    assert warned("carroll_huntington_1988", tall, girth=160, length=150) == {
        "girth_cm": "measures_hardly_fit"
    }


ZONE = "Europe/London"


@pytest.mark.parametrize(
    ("born", "on", "months"),
    [
        ((2026, 4, 12), (2026, 4, 12), 0),
        ((2026, 4, 12), (2026, 5, 11), 0),
        ((2026, 4, 12), (2026, 5, 12), 1),
        ((2024, 2, 29), (2026, 2, 28), 23),
        ((2024, 2, 29), (2026, 3, 1), 24),
        ((2026, 4, 12), (2026, 1, 1), 0),
    ],
)
def test_completed_months(
    born: tuple[int, int, int], on: tuple[int, int, int], months: int
) -> None:
    assert measured.months(date(*born), date(*on)) == months


def test_an_animal_as_a_formula_asks() -> None:
    subject = clocks.Subject(
        species="horse",
        born_earliest=date(2014, 1, 1),
        born_latest=date(2014, 12, 31),
        zone=ZONE,
        kind="pony",
    )
    at = datetime(2026, 4, 12, 8, 40, tzinfo=UTC)
    found = measured.animal(subject, at)
    assert (found.species, found.kind, found.months) == ("horse", "pony", (135, 147))
    assert measured.animal(subject, None).months is None
    assert measured.animal(clocks.Subject("horse"), at).months is None
