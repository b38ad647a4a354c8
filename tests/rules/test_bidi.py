"""A name that runs from right to left turns nothing around it, and other names stay as they are."""

import pytest

from yards.rules import bidi


@pytest.mark.parametrize("name", ["ברוש 12", "نخلة 7b", "Rowan (רימון) 2", "12 ד״ר"])
def test_a_name_with_letters_from_right_to_left_stands_apart(name: str) -> None:
    assert bidi.isolated(name) == f"\u2068{name}\u2069"


@pytest.mark.parametrize("name", ["", "Teasel", "Überall 3½", "7b", "(12)"])
def test_a_name_without_them_is_left_as_it_is(name: str) -> None:
    assert bidi.isolated(name) == name
