"""Erasing a person: the reason, the tick, and where a name stands in a text."""

import json
import re
from typing import Any

import pytest

from yards.rules import erasure
from yards.rules.errors import Invalid

MAUD = ("Maud Pell", "maud@example.org")


@pytest.mark.parametrize(
    ("raw", "faults"),
    [
        ({}, {("reason", "required"), ("understood", "erasure_not_understood")}),
        ({"reason": "Left", "understood": False}, {("understood", "erasure_not_understood")}),
        ({"reason": "maud PELL left", "understood": True}, {("reason", "reason_names_them")}),
        ({"reason": "Of maud@example.org", "understood": True}, {("reason", "reason_names_them")}),
        ({"reason": "x" * 301, "understood": True}, {("reason", "too_long")}),
        ({"reason": "Left", "understood": True, "alias": "M"}, {("alias", "unknown_field")}),
    ],
)
def test_each_fault_is_named_at_its_field(raw: Any, faults: set[tuple[str, str]]) -> None:
    with pytest.raises(Invalid) as refused:
        erasure.check(raw, MAUD)
    assert {(each.field, each.key) for each in refused.value.errors} == faults


def test_a_reason_and_the_tick_will_do() -> None:
    said = {"reason": "Asked for it", "understood": True}
    assert erasure.check(said, MAUD) == erasure.Asked("Asked for it", texts=False)
    assert erasure.check({**said, "texts": True}, MAUD).texts


def found(text: str, known_as: tuple[str, ...] = MAUD, **how: bool) -> bool:
    """As PostgreSQL reads it, for what both read alike."""
    asked = erasure.pattern(known_as, **how).replace("[^[:alnum:]]", r"[\W_]")
    return re.search(asked, text, re.IGNORECASE) is not None


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("Maud Pell", True),
        ("Held by maud pell, who knows her", True),
        ("write to MAUD@example.org.", True),
        ("Maud", False),
        ("Maud Pellow", False),
        ("Samaud Pell", False),
        ("amaud@example.org", False),
        ("maudXexample.org", False),
    ],
)
def test_a_name_is_found_whole_and_in_any_case(text: str, holds: bool) -> None:
    assert found(text) == holds


@pytest.mark.parametrize("name", ['Jo "Fox" Lund', "A. (Bo) Hay*", "Bracken\\Moor", "Åsa Ökvist"])
def test_a_name_with_signs_is_found_in_json_too(name: str) -> None:
    text = json.dumps({"note": f"Dull.\n{name} saw it"}, ensure_ascii=False)
    assert found(text, (name,), in_json=True)
    assert not found(text.replace(name[0], "_"), (name,), in_json=True)


def test_without_an_address_the_name_alone_is_asked_for() -> None:
    assert found("Maud Pell", ("Maud Pell", ""))
    assert not found("anything at all", ("Maud Pell", ""))
