"""What the phone works out by itself: the cases that its scripts are held to, held here too.

The browser's side is ``tests/browser/test_steps_rules.py``: the same files, the same answers.
"""

from datetime import date
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

import pytest

from scoring.pages import labels
from scoring.rules import (
    band,
    chosen,
    measured,
    overall,
    scale,
    score_sheet,
    weight,
    weight_guards,
    weight_keys,
    weight_last,
)
from yards.pages import controls
from yards.rules import errors, fixture, identity, units


def cases(name: str) -> list[Any]:
    """A fixture's cases, each with its name as the test's."""
    rows = fixture.load(name)["cases"]
    return [pytest.param(row, id=row.get("name", str(at))) for at, row in enumerate(rows)]


def summed(case: dict[str, Any]) -> dict[str, Any]:
    if case["scale"] != scale.FIVE:
        sixths, used, fattest, pelvis = (
            scale.overall_sixths(case["scale"], whole=case["whole"]),
            {},
            [],
            None,
        )
    else:
        felt = scale.Felt(*(case["felt"][name] for name in scale.REGIONS)).with_pocket(
            case["pocket"]
        )
        sixths, used = felt.sixths(), dict(felt.by_region())
        fattest, pelvis = list(felt.fattest()), overall.pelvis_led(felt)
    return {
        "used": used,
        "sixths": sixths,
        "mean": None if sixths is None else scale.shown_mean(sixths),
        "nearest": scale.nearest_halves(sixths),
        "fattest": fattest,
        "pelvisLed": pelvis,
    }


@pytest.mark.parametrize("case", cases("overall_cases"))
def test_what_a_reading_comes_to(case: dict[str, Any]) -> None:
    assert summed(case) == case["told"]


@pytest.mark.parametrize("case", cases("place_cases"))
def test_where_the_nearest_half_lies_and_how_it_is_said(case: dict[str, Any]) -> None:
    edges: Any = SimpleNamespace(
        low=Decimal(case["band"]["low"]), high=Decimal(case["band"]["high"])
    )
    found = band.place(case["nearest"], edges)
    assert found == case["told"]["place"]
    # The pages say a distance just where the phone has one.
    said = labels.distance(found, Decimal(case["nearest"]) / 2, edges)
    assert ("point" in said) == bool(case["told"]["away"])
    assert labels.why(found, Decimal(case["nearest"]) / 2, edges) == case["told"]["why"]


@pytest.mark.parametrize("case", cases("chosen_cases"))
def test_what_is_said_of_a_chosen_score_beside_its_suggestion(case: dict[str, Any]) -> None:
    low, high = (None if case[end] is None else scale.halves(case[end]) for end in ("low", "high"))
    told = chosen.beside(low, high, scale.halves(case["felt"]), case["pocket"])
    assert [[each.key, dict(each.params)] for each in told] == case["told"]


@pytest.mark.parametrize("case", cases("last_weight_cases"))
def test_a_weight_far_from_the_last_is_asked_about(case: dict[str, Any]) -> None:
    kg, last = Decimal(case["kg"]), Decimal(case["last_kg"])
    assert weight_last.is_far(kg, last, case["days"], case["months"]) is case["told"]


@pytest.mark.parametrize("case", cases("unit_cases"))
def test_a_quantity_is_kept_and_shown(case: dict[str, Any]) -> None:
    if case["do"] == "shown":
        assert units.shown(Decimal(case["text"]), case["unit"]) == case["told"]
        return
    kind = controls.WEIGHT if case["unit"] in units.WEIGHT else controls.LENGTH
    asked = controls.Control("it", "It", kind)
    told = controls.stored([asked], {"it": case["text"], "unit.it": case["unit"]})
    assert told["it"] == case["told"]


@pytest.mark.parametrize("case", cases("sheet_cases"))
def test_a_form_is_the_reading_that_a_client_would_send(case: dict[str, Any]) -> None:
    values = {
        name: [sent] if name == "danger_signs" and isinstance(sent, str) else sent
        for name, sent in case["values"].items()
    }
    asked = [
        controls.Control(
            name.removeprefix("unit."),
            "",
            controls.WEIGHT if sent in units.WEIGHT else controls.LENGTH,
        )
        for name, sent in values.items()
        if name.startswith("unit.")
    ]
    told: Any = controls.stored(asked, values)
    assert score_sheet.raw_of(told, zone=case["zone"]) == case["told"]


def animal(row: dict[str, Any] | None) -> weight_guards.Animal | None:
    if row is None:
        return None
    height = None if row["height_cm"] is None else Decimal(str(row["height_cm"]))
    months = None if row["months"] is None else tuple(row["months"])
    return weight_guards.Animal(
        row["species"], row["kind"], row["sex"], height, months, row["is_pregnant"]
    )


def estimated(case: dict[str, Any]) -> dict[str, Any]:
    given = {name: Decimal(str(value)) for name, value in case["measures"].items()}
    try:
        found = weight.estimate(case["formula"], given, animal(case["animal"]))
    except errors.Invalid as refused:
        faults = [plainly(each) for each in refused.errors]
        return {"kg": None, "error": None, "meaning": "", "faults": faults, "warnings": []}
    return {
        "kg": str(found.weight_kg),
        "error": str(found.likely_error_kg),
        "meaning": found.meaning,
        "faults": [],
        "warnings": [plainly(each) for each in found.warnings],
    }


def plainly(fault: errors.FieldError) -> dict[str, Any]:
    return {"field": fault.field, "key": fault.key, "params": dict(fault.params)}


@pytest.mark.parametrize("case", cases("formula_cases"))
def test_a_weight_by_a_formula_and_what_speaks_against_it(case: dict[str, Any]) -> None:
    if "born" in case:
        birth, on = identity.born(case["born"]), date.fromisoformat(case["on"])
        least = measured.months(min(birth.latest, on), on)
        assert [least, measured.months(birth.earliest, on)] == case["told"]
    elif "fitting" in case:
        who = animal(case["animal"])
        assert who is not None
        assert [each.id for each in weight.fitting(who)] == case["told"]
    else:
        assert estimated(case) == case["told"]


def test_the_cases_reach_whatever_can_be_said_of_measures() -> None:
    """All but what no measures within their ranges can come to, and what only forms can send."""
    rows = [row["told"] for row in fixture.load("formula_cases")["cases"]]
    reached = {
        each["key"]
        for told in rows
        if isinstance(told, dict)
        for each in (*told["faults"], *told["warnings"])
    }
    elsewhere = {"formula_gives_no_weight", "weight_unlike_formula", "tape_only_by_tape"}
    assert reached >= {*weight_keys.REFUSALS, *weight_keys.WARNINGS} - elsewhere


def test_every_formula_is_worked_out_in_a_case() -> None:
    rows = fixture.load("formula_cases")["cases"]
    shapes = {row["formula"] for row in rows if "formula" in row and row["told"]["kg"]}
    forms = {
        row["shape"]["form"]
        for row in fixture.load("weight_formulas")["formulas"]
        if row["id"] in shapes
    }
    assert forms == {"product", "linear", "polynomial", "trunk_and_legs"}
