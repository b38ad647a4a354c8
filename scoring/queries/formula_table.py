"""What a phone needs to work out a weight of measures without a signal, in the reader's language.

The data are those of ``fixtures/weight_formulas.json`` and ``weight_guards.json`` in the fixtures'
own shape, cut to one species; ``scoring/static/scoring/round/rules/formula.js`` reads either.
"""

import json
from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext

from scoring.queries import fixture_words, weight_formulas, weight_words
from yards.queries import tastes
from yards.rules import fixture, horse, units

# What the phone's rule can say of an animal, its measures and its weight.
_SAID = (
    *("formula_for_species", "formula_for_other_sex", "formula_for_grown_animals"),
    *("formula_for_young_animals", "looks_like_inches", "inches_taken_twice", "measure_unlikely"),
    *("length_from_shoulder", "length_from_elbow", "measures_do_not_fit", "far_outside_sample"),
    *("formula_gives_no_weight", *weight_words.WARNINGS),
)
_KEPT = ("id", "species", "kinds", "sexes", "age_months", "sample", "measures", "shape", "error")
_KINDS = {horse.HORSE: ("foal",), horse.DONKEY: ("young_donkey",)}


def table(species: str) -> str:
    """Return formulas, guards and sentences for a species, as JSON."""
    data, guards = fixture.load("weight_formulas"), fixture.load("weight_guards")
    rows = [_formula(row) for row in data["formulas"] if row["species"] == species]
    used = {key for row in rows for key in row["measures"]}
    meant = {error["meaning"] for row in rows for error in row["error"]}
    kinds = (*horse.KINDS.get(species, ()), *_KINDS.get(species, ()))
    told = {
        "measures": {
            key: _measure(data["measures"][key]) for key in data["measures"] if key in used
        },
        "formulas": rows,
        "ranges": {kind: guards["ranges"][kind] for kind in kinds if kind in guards["ranges"]},
        "ratios": [_ratio(row) for row in guards["ratios"] if row["species"] == species],
        "sample": {name: guards["sample"][name] for name in ("refuse_below", "refuse_above")},
        "meanings": {key: fixture_words.said(data["meanings"][key]) for key in sorted(meant)},
        "words": {key: str(weight_words.ALL[key]) for key in _SAID} | _answers(),
        "units": {unit: tastes.name(unit) for unit in _units()},
    }
    return json.dumps(told, ensure_ascii=False, separators=(",", ":"))


def _answers() -> dict[str, str]:
    return {
        "made": gettext("About {kg}, likely within {error}"),
        "caution": weight_formulas.caution(),
        "wanting": gettext("Still to measure: {measures}. The weight is worked out here."),
    }


def _units() -> tuple[str, str]:
    now = tastes.current()
    return now.weight, now.length if now.length in units.LENGTH else units.CM


def titles(species: str) -> list[tuple[str, str]]:
    """Return the formulas of a species by id, with what each is called."""
    rows = fixture.load("weight_formulas")["formulas"]
    found = [row for row in rows if row["species"] == species]
    return [(row["id"], fixture_words.said(row["title"])) for row in found]


def _formula(row: Mapping[str, Any]) -> dict[str, Any]:
    sample = {name: value for name, value in row["sample"].items() if name != "n"}
    return {name: row[name] for name in _KEPT if name in row} | {"sample": sample}


def _measure(row: Mapping[str, str]) -> dict[str, str]:
    told = ("title", "landmark")
    return {name: fixture_words.said(row[name]) if name in told else row[name] for name in row}


def _ratio(row: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in row.items() if name != "seen"}
