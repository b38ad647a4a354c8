"""Erasing a person: the reason, the tick, and where a name stands in a text."""

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


def found(text: str, looked: tuple[str, ...] = MAUD) -> bool:
    """As PostgreSQL reads it, for what both read alike."""
    asked = erasure.pattern(looked).replace("[^[:alnum:]]", r"[\W_]")
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
    assert erasure.holds({"note": [text]}, MAUD) == holds


@pytest.mark.parametrize("name", ['Jo "Fox" Lund', "A. (Bo) Hay*", "Bracken\\Moor", "Åsa Ökvist"])
def test_a_name_with_signs_is_found_too(name: str) -> None:
    text = f"Dull.\n{name} saw it"
    for other in (text, text.replace(name[0], "_")):
        assert found(other, (name,)) == erasure.holds({"note": other}, (name,)) == (other == text)


def test_values_are_looked_at_and_names_of_fields_are_not() -> None:
    assert not erasure.holds({"Maud Pell": {"maud@example.org": [1, None, True]}}, MAUD)
    assert erasure.holds({"before": {"notes": [{"said": "So says Maud Pell."}]}}, MAUD)


@pytest.mark.parametrize("asked", ["Maud+Pell", "maud%20pell", "maud%40example.org", "Maud Pell"])
def test_an_address_that_holds_them_is_found(asked: str) -> None:
    assert erasure.holds({"path": f"/?search={asked}&page=2"}, MAUD)
    assert any(each.lower() in asked.lower() for each in erasure.spellings(MAUD))
    assert not erasure.holds({"path": f"/?search={asked}ow&page=2"}, MAUD)


@pytest.mark.parametrize(
    ("name", "looked"),
    [
        ("vet", ("vet@example.org",)),
        (" Rose ", ("vet@example.org",)),
        ("", ("vet@example.org",)),
        ("Rose Ash", ("Rose Ash", "vet@example.org")),
    ],
)
def test_a_single_word_is_not_looked_for(name: str, looked: tuple[str, ...]) -> None:
    assert erasure.looked_for(name, "vet@example.org") == looked
    assert not erasure.holds({"role": "vet", "note": "The vet. Rose"}, looked)


def test_with_nothing_to_look_for_nothing_is_found() -> None:
    assert erasure.looked_for("vet", "") == ()
    assert not erasure.holds({"note": "anything at all"}, ())
