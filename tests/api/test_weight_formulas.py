"""The list of weight formulas, and what one makes of measures. Nothing is stored."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.rules import formulas
from tests import cast
from tests.api.asking import Asker
from tests.doors import counting
from tests.outside import EXACT, WITHIN_TOLERANCE, outside

ESTIMATE = "weight-formulas/estimate/"
ADULT = {"formula": "carroll_huntington_1988", "girth_cm": "185", "length_cm": "165"}


def faults(answer: Any) -> dict[str, str]:
    assert answer.status_code == 422, answer.content
    return {each["field"]: each["message"] for each in answer.json()["errors"]}


def test_the_list_says_for_whom_and_how_each_measure_is_taken(database: str) -> None:
    found = Asker("device").get("weight-formulas/").json()["results"]
    assert [each["id"] for each in found] == list(formulas.every())
    first = found[0]
    assert first["id"] == "carroll_huntington_1988"
    assert "Carroll" in first["source"]
    assert first["population"] == "281 horses and ponies of varying breed, height and fatness"
    girth, length = first["measures"]
    assert (girth["field"], length["field"]) == ("girth_cm", "length_cm")
    assert "point of the shoulder to the point of the buttock" in length["landmark"]
    elbow = next(each for each in found if each["id"] == "jones_1989")
    assert "from the point of the elbow" in elbow["measures"][1]["landmark"]
    assert elbow["confidence"] == "read"


@outside(
    "the list's likely error of the formula by height, as measured on 600 horses",
    source="Ellis and Hollands 1998, Vet Rec 143:335, abstract",
    status=EXACT,
)
def test_the_likely_error_is_told_for_any_height_and_by_height(database: str) -> None:
    [first] = [
        each
        for each in Asker("maud").get("weight-formulas/").json()["results"]
        if each["id"] == "carroll_huntington_1988"
    ]
    assert first["likely_error"]["percent"] == "10.6"
    low, high = first["likely_error_by_height"]
    assert (low["percent"], low["height_below_cm"]) == ("5.2", "152.4")
    assert (high["percent"], high["height_from_cm"]) == ("13.1", "152.4")


def test_an_estimate_has_its_error_its_source_and_always_the_caution(database: str) -> None:
    answer = Asker("maud").post(ESTIMATE, ADULT)
    assert answer.status_code == 200
    said = answer.json()
    assert (said["weight_kg"], said["likely_error_kg"]) == ("474.5", "50.3")
    assert "two in three" in said["likely_error_means"]
    assert "Carroll" in said["source"]
    assert said["caution"] == (
        "An estimate: not for drug doses, sedation or wormers without the vet."
    )
    assert said["warnings"] == []


def test_an_error_of_two_in_three_animals_is_told_from_one_of_19_in_20(database: str) -> None:
    """Jones's 53 kg is wider than Carroll and Huntington's 50 in kilograms only."""
    maud = Asker("maud")
    two_thirds = maud.post(ESTIMATE, ADULT).json()
    jones = {"formula": "jones_1989", "belly_girth_cm": 200, "length_cm": 140}
    most = maud.post(ESTIMATE, jones).json()
    assert (two_thirds["likely_error_kg"], two_thirds["likely_error_covers_percent"]) == (
        "50.3",
        68,
    )
    assert (most["likely_error_kg"], most["likely_error_covers_percent"]) == ("53.0", 95)
    listed = {each["id"]: each for each in maud.get("weight-formulas/").json()["results"]}
    assert listed["jones_1989"]["likely_error"]["covers_percent"] == 95
    by_height = listed["carroll_huntington_1988"]["likely_error_by_height"]
    assert [each["covers_percent"] for each in by_height] == [68, 68]
    assert listed["martin_rosset_1990"]["likely_error"]["covers_percent"] is None


def test_an_estimate_stores_nothing_not_even_an_entry(database: str) -> None:
    asker = Asker("isolde")
    asker.get("me/")
    before = counting.rows()
    assert asker.post(ESTIMATE, ADULT).status_code == 200
    assert counting.rows() == before


def test_the_list_asks_the_database_nothing_about_formulas(database: str) -> None:
    asker = Asker("maud")
    asker.get("me/")
    with CaptureQueriesContext(connection) as me:
        asker.get("me/")
    with CaptureQueriesContext(connection) as listed:
        asker.get("weight-formulas/")
    assert len(listed) <= len(me)


@outside(
    "the length from the shoulder under a formula for the elbow is refused",
    source="Jensen et al. 2019, Acta Veterinaria Scandinavica 61, table 2: warmblood means",
    status=WITHIN_TOLERANCE,
)
def test_a_wrong_landmark_is_refused_with_its_remedy(database: str) -> None:
    sent = {"formula": "jones_1989", "belly_girth_cm": 204, "length_cm": 185}
    said = faults(Asker("maud").post(ESTIMATE, sent))
    assert set(said) == {"length_cm"}
    assert "from the point of the elbow" in said["length_cm"]


def test_inches_are_told_with_the_centimetres_they_are(database: str) -> None:
    said = faults(Asker("maud").post(ESTIMATE, {**ADULT, "girth_cm": 76}))
    assert "it is 193 cm" in said["girth_cm"]


def test_a_horse_s_formula_on_a_donkey_is_refused(database: str) -> None:
    sent = {**ADULT, "horse": str(cast.ref("Wagtail"))}
    said = faults(Asker("maud").post(ESTIMATE, sent))
    assert said["formula"].startswith("This formula was made on another kind of animal: horse.")
    donkey = {"formula": "pearson_ouassat_1996", "girth_cm": 115, "horse": sent["horse"]}
    assert Asker("maud").post(ESTIMATE, donkey).json()["weight_kg"] == "132.1"


def test_a_foal_s_formula_on_a_grown_horse_is_refused(database: str) -> None:
    sent = {
        "formula": "staniar_2004",
        "horse": str(cast.ref("Teasel")),
        "girth_cm": 160,
        "length_cm": 145,
        "carpus_cm": 32,
        "forelimb_cm": 105,
    }
    said = faults(Asker("maud").post(ESTIMATE, sent))
    assert "up to 18 months" in said["formula"]
    unnamed = Asker("maud").post(ESTIMATE, {**sent, "horse": None}).json()
    assert unnamed["weight_kg"] == "348.3"


def test_what_is_less_sure_is_warned_of_and_answered(database: str) -> None:
    sent = {"formula": "jones_1989", "belly_girth_cm": 240, "length_cm": 165}
    answer = Asker("maud").post(ESTIMATE, sent)
    assert answer.status_code == 200
    [warning] = answer.json()["warnings"]
    assert warning["field"] == "formula"
    assert "made on animals from 230 kg to 707 kg" in warning["message"]


@pytest.mark.parametrize(
    ("changed", "fields"),
    [
        ({"formula": "by_guess"}, {"formula"}),
        ({"formula": None}, {"formula"}),
        ({"girth_cm": None}, {"girth_cm"}),
        ({"girth_cm": "NaN"}, {"girth_cm"}),
        ({"girth_cm": "1e400"}, {"girth_cm"}),
        ({"girth_cm": -185}, {"girth_cm"}),
        ({"girth_cm": True}, {"girth_cm"}),
        ({"girth_cm": "185.55"}, {"girth_cm"}),
        ({"girth_cm": 0}, {"girth_cm"}),
        ({"wither_cm": 155}, {"wither_cm"}),
        ({"horse": "Teasel"}, {"horse"}),
        ({"horse": 7}, {"horse"}),
    ],
)
def test_bad_input_is_refused_at_its_field(
    database: str, changed: dict[str, Any], fields: set[str]
) -> None:
    assert set(faults(Asker("maud").post(ESTIMATE, {**ADULT, **changed}))) == fields


def test_units_and_language_of_a_session_do_not_change_the_figures(database: str) -> None:
    """An API speaks centimetres and kilograms, whatever its person reads on pages."""
    said = faults(Asker("tobias").post(ESTIMATE, {**ADULT, "girth_cm": 1}))
    assert said["girth_cm"] == "Such an animal measures from 95 cm to 285 cm here. Measure again."
