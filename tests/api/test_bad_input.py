"""The list of bad input: the right 4xx, the field named, the remedy in words, nothing kept."""

import copy
import json
from typing import Any

import pytest

from tests import cast
from tests.api.asking import Asker
from tests.doors import counting
from tests.doors.scene import ago, ahead, assessment, fresh

TEASEL, MARRAM, GORSE = (str(cast.ref(name)) for name in ("Teasel", "Marram", "Gorse"))
HIND = "regions.hindquarters"
# Scores that are none, as they stand in the JSON.
NO_SCORES = {
    "off the half-point grid": '"3.3"',
    "a number off the grid": "3.25",
    "above the scale": '"5.5"',
    "far above": "50",
    "below zero": '"-0.5"',
    "a negative number": "-1",
    "NaN in text": '"NaN"',
    "Infinity in text": '"Infinity"',
    "an exponent": "1e400",
    "an exponent that would fit": "3e0",
    "an exponent in text": '"3e0"',
    "an underscore": '"3_0"',
    "Arabic-Indic digits": '"٣"',
    "full-width digits": '"３"',
    "a word": '"fat"',
    "a comma": '"3,5"',
    "a blank in it": '"3 .5"',
    "a plus sign": '"+3"',
    "no digit before the point": '".5"',
    "no digit after the point": '"3."',
    "a NUL": '"3\\u0000"',
    "a huge integer": "9" * 5000,
    "true": "true",
    "a list": "[3]",
    "an object": '{"value": 3}',
}


def _refused(raw: bytes, *, status: int, field: str, caller: str = "tobias") -> str:
    before = counting.rows()
    response = Asker(caller).send("POST", "assessments/", raw=raw)
    assert response.status_code == status, response.content
    faults: dict[str, str] = {each["field"]: each["message"] for each in response.json()["errors"]}
    assert field in faults, faults
    assert faults[field]
    assert counting.rows() == before
    return faults[field]


def _with(path: str, literal: str) -> bytes:
    """The plain assessment with a JSON literal at a dotted path."""
    body: dict[str, Any] = copy.deepcopy(assessment(TEASEL))
    part = body
    *way, last = path.split(".")
    for name in way:
        part = part.setdefault(name, {})
    part[last] = "@here@"
    return json.dumps(body).replace('"@here@"', literal).encode()


@pytest.mark.parametrize("literal", NO_SCORES.values(), ids=NO_SCORES.keys())
def test_a_score_that_is_none_is_refused_at_its_region(database: str, literal: str) -> None:
    said = _refused(_with(HIND, literal), status=422, field=HIND)
    assert "KeyError" not in said


@pytest.mark.parametrize("constant", ["NaN", "Infinity", "-Infinity"])
def test_a_constant_that_is_no_json_is_malformed(database: str, constant: str) -> None:
    before = counting.rows()
    response = Asker("tobias").send("POST", "assessments/", raw=_with(HIND, constant))
    assert response.status_code == 400
    assert constant in response.json()["errors"][0]["message"]
    assert counting.rows() == before


CASES: dict[str, tuple[dict[str, Any], str]] = {
    "a time to come": ({"taken_at": ahead(days=1)}, "taken_at"),
    "a time to come once the clock is put right": (
        {"taken_at": ago(minutes=1), "sent_at": ago(minutes=30)},
        "taken_at",
    ),
    "before birth": ({"taken_at": "2013-12-31T10:00:00Z"}, "taken_at"),
    "a time without offset": ({"taken_at": "2026-04-12T09:40:00"}, "taken_at"),
    "a day that never was": ({"taken_at": "2026-02-30T09:40:00Z"}, "taken_at"),
    "a leap second": ({"taken_at": "2016-12-31T23:59:60Z"}, "taken_at"),
    "a time as a number": ({"taken_at": 1760000000}, "taken_at"),
    "no time": ({"taken_at": None}, "taken_at"),
    "an unknown horse": ({"horse": fresh("unknown")}, "horse"),
    "another organisation's horse": ({"horse": GORSE}, "horse"),
    "a horse that is no id": ({"horse": "Teasel"}, "horse"),
    "a horse as NUL": ({"horse": "\u0000"}, "horse"),
    "no horse": ({"horse": None}, "horse"),
    "a donkey's scale": ({"scale": "donkey"}, "scale"),
    "no such scale": ({"scale": "ten"}, "scale"),
    "no manner": ({"manner": ""}, "manner"),
    "a region missing": (
        {"regions": {"neck_and_shoulder": "3.0", "back_and_ribs": "3.0"}},
        HIND,
    ),
    "a region null, not said to be unsafe": (
        {"regions": {"neck_and_shoulder": "3", "back_and_ribs": "3", "hindquarters": None}},
        HIND,
    ),
    "a region scored and said to be unsafe": ({"not_safe": ["hindquarters"]}, HIND),
    "no such region": ({"not_safe": ["belly"]}, "not_safe.0"),
    "the belly scored": (
        {
            "regions": {
                "neck_and_shoulder": "3",
                "back_and_ribs": "3",
                "hindquarters": "3",
                "belly": "4",
            }
        },
        "regions.belly",
    ),
    "no regions": ({"regions": None}, HIND),
    "an overall on the scale of regions": ({"overall": "3.0"}, "overall"),
    "no such pocket": ({"fat_pocket": "huge"}, "fat_pocket"),
    "no such sign": ({"danger_signs": ["green"]}, "danger_signs.0"),
    "signs that are no list": ({"danger_signs": "not_eating"}, "danger_signs"),
    "a crest beyond the scale": ({"crest": "6"}, "crest"),
    "a NUL in a note": ({"note": "a\u0000b"}, "note"),
    "a lone surrogate in a note": ({"note": "a\ud800b"}, "note"),
    "a note that is too long": ({"note": "x" * 4001}, "note"),
    "a note that is a number": ({"note": 5}, "note"),
    "an id that is none": ({"id": "17"}, "id"),
    "a field that there is not": ({"colour": "bay"}, "colour"),
    "a weighing without a weight": ({"weighing": {"method": "estimate"}}, "weighing.weight_kg"),
    "a weight of nought": (
        {"weighing": {"method": "estimate", "weight_kg": "0"}},
        "weighing.weight_kg",
    ),
    "an unknown instrument": (
        {
            "weighing": {
                "method": "weigh_tape",
                "weight_kg": "400",
                "instrument": fresh("unknown"),
            }
        },
        "weighing.instrument",
    ),
}


@pytest.mark.parametrize(("changes", "field"), CASES.values(), ids=CASES.keys())
def test_what_cannot_be_is_refused_at_its_field(
    database: str, changes: dict[str, Any], field: str
) -> None:
    raw = json.dumps({**assessment(TEASEL), **changes}).encode()
    _refused(raw, status=422, field=field)


def test_a_horse_out_of_scope_is_refused_as_an_unknown_one(database: str) -> None:
    raw = json.dumps(assessment(MARRAM)).encode()
    unknown = json.dumps(assessment(fresh("unknown"))).encode()
    hidden = _refused(raw, status=422, field="horse", caller="maud")
    assert hidden == _refused(unknown, status=422, field="horse", caller="maud")


@pytest.mark.parametrize("end", ["died", "rehomed"])
def test_after_death_or_departure_nothing_is_read(database: str, end: str) -> None:
    event = {"kind": end, "at": ago(days=2)}
    answer = Asker("isolde").post(f"horses/{TEASEL}/events/", event)
    assert answer.status_code == 201
    raw = json.dumps(assessment(TEASEL)).encode()
    _refused(raw, status=422, field="taken_at")
    late = json.dumps(assessment(TEASEL, taken_at=ago(days=3))).encode()
    assert Asker("tobias").send("POST", "assessments/", raw=late).status_code == 201


def test_five_minutes_of_a_fast_clock_are_let_pass_and_no_more(database: str) -> None:
    late = json.dumps(assessment(TEASEL, taken_at=ahead(minutes=6))).encode()
    _refused(late, status=422, field="taken_at")
    raw = json.dumps(assessment(TEASEL, taken_at=ahead(minutes=4))).encode()
    assert Asker("tobias").send("POST", "assessments/", raw=raw).status_code == 201


def test_every_fault_is_named_at_once(database: str) -> None:
    bad = {"scale": "five", "regions": {"neck_and_shoulder": "3.3"}, "crest": "9", "colour": "bay"}
    response = Asker("tobias").post("assessments/", bad)
    assert {each["field"] for each in response.json()["errors"]} == {
        "horse",
        "taken_at",
        "manner",
        "regions.neck_and_shoulder",
        "regions.back_and_ribs",
        HIND,
        "crest",
        "colour",
    }
