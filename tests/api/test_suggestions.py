"""Suggestions, both overalls and the approximate scale over REST: beside the score, never in it."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils

from tests import cast
from tests.api.asking import Asker
from tests.doors.scene import ago, assessment
from yards.actions import organisations
from yards.rules import fixture
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL, WAGTAIL = str(cast.ref("Teasel")), str(cast.ref("Wagtail"))
CASES = fixture.load("suggestion_cases")["cases"]


def sent(case: dict[str, Any], horse: str) -> dict[str, Any]:
    """A case as a client sends it, with some score: a suggestion does not hang on it."""
    found = {name: case[name] for name in ("scale", "manner", "findings")}
    body = {"id": str(uuid_utils.uuid7()), "horse": horse, "taken_at": ago(hours=1), **found}
    if case["scale"] != "five":
        return {**body, "overall": "3.0"}
    return {**assessment(horse), **body, "fat_pocket": case["fat_pocket"]}


def _species(case: dict[str, Any]) -> str:
    return "donkey" if case["scale"] == "donkey" else "horse"


def of_a_sex(species: str, sex: str) -> str:
    """A new animal of a sex, which only its record says."""
    facts = {"name": f"A {sex or 'young'} {species}", "yard": str(cast.ref("Top Barn"))}
    made = Asker("isolde").post("horses/", {**facts, "species": species, "sex": sex or "unknown"})
    assert made.status_code == 201, made.content
    return str(made.json()["id"])


def test_the_shared_cases_are_answered_as_they_say(database: str) -> None:
    tobias, kinds = Asker("tobias"), [(_species(each), each.get("sex", "")) for each in CASES]
    animals = {kind: of_a_sex(*kind) for kind in dict.fromkeys(kinds)}
    items = [sent(case, animals[kind]) for case, kind in zip(CASES, kinds, strict=True)]
    answered = tobias.post("assessments/batch/", {"items": items}).json()
    for case, result in zip(CASES, answered["results"], strict=True):
        assert result["status"] == 201, result
        said = result["assessment"]["suggestion"]
        if not case["places"]:
            assert said is None
            continue
        told = [
            {
                **{name: each[name] for name in ("place", "low", "high")},
                "reasons": [[reason["key"], reason["params"]] for reason in each["reasons"]],
            }
            for each in said["places"]
        ]
        assert told == case["places"], case["name"]
        assert all(
            reason["text"].endswith(".") for each in said["places"] for reason in each["reasons"]
        )


def test_a_suggestion_is_answered_with_its_findings_and_its_reasons_in_words(database: str) -> None:
    tobias = Asker("tobias")
    body = assessment(TEASEL, findings={"spine": "nearly_flat", "ribs": "firm_pressure"})
    made = tobias.post("assessments/", body).json()
    [place] = made["suggestion"]["places"]
    assert place["reasons"][0]["text"] == ("Suggests about 4 to 4½.")
    assert place["findings"][1] == {
        "landmark": "ribs",
        "value": "firm_pressure",
        "low": "4.0",
        "high": "4.5",
        "seen": False,
    }
    # The score is what was sent, and reading it back says the same.
    assert made["regions"]["back_and_ribs"] == "3.5"
    assert tobias.get(f"assessments/{made['id']}/").json() == made


def test_a_reading_without_findings_has_no_suggestion(database: str) -> None:
    assert Asker("tobias").post("assessments/", assessment(TEASEL)).json()["suggestion"] is None


@pytest.mark.parametrize(
    ("regions", "mean", "led"),
    [
        (("3.5", "5.0", "4.0"), "4.17", "4.5"),
        # A full point thinner in the neck: half a point down.
        (("2.0", "3.0", "3.0"), "2.67", "2.5"),
        # Opposite ways: our choice.
        (("2.0", "4.0", "3.0"), "3.00", "3.0"),
    ],
)
def test_both_overalls_are_answered_and_the_mean_is_the_overall(
    database: str, regions: tuple[str, str, str], mean: str, led: str
) -> None:
    names = ("neck_and_shoulder", "back_and_ribs", "hindquarters")
    body = assessment(TEASEL, regions=dict(zip(names, regions, strict=True)))
    said = Asker("tobias").post("assessments/", body).json()
    assert (said["overall"], said["overall_pelvis_led"]) == (mean, led)


def test_the_choice_of_an_organisation_moves_no_answer_and_its_members_are_told_it(
    inside: Inside,
) -> None:
    tobias, isolde = Asker("tobias"), Asker("isolde")
    body = assessment(TEASEL, id=str(uuid_utils.uuid7()), danger_signs=["not_eating"])
    before = tobias.post("assessments/", body).json()
    with inside("isolde") as viewer:
        chosen = {"overall_rule": "pelvis_led", "version": 1}
        organisations.change_organisation(viewer, chosen, now=datetime.now(UTC))
    assert tobias.post("assessments/", body).json() == before
    for asker in (tobias, isolde):
        assert asker.get("me/").json()["organisation"]["overall_rule"] == "pelvis_led"
    assert Asker("perran").get("me/").json()["organisation"]["overall_rule"] == "mean"


def test_roughly_where_a_score_lies_on_the_other_scale_is_labelled_so(database: str) -> None:
    tobias = Asker("tobias")
    five = tobias.post("assessments/", assessment(TEASEL)).json()
    # A mean of 3.17 is a 3 to the nearest half.
    assert five["approximate"] == {
        "label": "approximate",
        "scale": "nine",
        "low": "5.0",
        "high": "6.0",
    }
    nine = {"horse": TEASEL, "taken_at": ago(hours=1), "scale": "nine", "manner": "palpated"}
    said = tobias.post("assessments/", {**nine, "overall": "7"}).json()
    assert (said["overall"], said["overall_pelvis_led"]) == ("7.00", None)
    assert said["approximate"] == {
        "label": "approximate",
        "scale": "five",
        "low": "3.5",
        "high": "4.5",
    }


def test_a_donkey_and_a_region_not_felt_have_none(database: str) -> None:
    tobias = Asker("tobias")
    donkey = {"horse": WAGTAIL, "taken_at": ago(hours=1), "scale": "donkey", "manner": "palpated"}
    said = tobias.post("assessments/", {**donkey, "overall": "3.0"}).json()
    assert (said["approximate"], said["overall_pelvis_led"]) == (None, None)
    regions = {"neck_and_shoulder": "3.0", "back_and_ribs": None, "hindquarters": "3.0"}
    body = assessment(TEASEL, regions=regions, not_safe=["back_and_ribs"])
    said = tobias.post("assessments/", body).json()
    assert (said["approximate"], said["overall_pelvis_led"]) == (None, None)
