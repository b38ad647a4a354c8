"""Transponders (ISO 11784) and UELNs: shapes from the standards; numbers invented or printed."""

import pytest

from yards.rules import errors, identity


@pytest.mark.parametrize(
    ("number", "warned"),
    [
        ("826123456789012", None),
        ("056001234567890", None),  # Belgium; the leading nought is kept
        ("826274877906943", None),  # 2^38 - 1, the largest national number
        ("900215000012345", "transponder_shared_maker"),
        ("999123456789012", "transponder_test_code"),
        ("899000000000001", "transponder_unassigned_country"),
    ],
)
def test_a_transponder_of_15_digits(number: str, warned: str | None) -> None:
    found = identity.transponder(number)
    assert found.number == number
    assert [each.key for each in found.warnings] == ([warned] if warned else [])


@pytest.mark.parametrize(
    "number",
    ["826300000000000", "826274877906944", "000123456789012", "82612345678901", "82612345678901A"],
)
def test_what_cannot_be_a_transponder(number: str) -> None:
    with pytest.raises(errors.Invalid):
        identity.transponder(number)


@pytest.mark.parametrize("number", ["25000100155928M", "372414001234567", "1212120078M0234"])
def test_printed_uelns(number: str) -> None:
    """Examples printed at ueln.net."""
    assert identity.ueln(number).number == number


@pytest.mark.parametrize("number", ["25000100155928", "2500010015/928M", "AB000100155928M"])
def test_what_cannot_be_a_ueln(number: str) -> None:
    with pytest.raises(errors.Invalid):
        identity.ueln(number)
