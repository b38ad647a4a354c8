"""Transponders (ISO 11784) and UELNs: shapes from the standards; numbers invented or printed."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.outside import COMMON_PRACTICE, EXACT, FROM_MEMORY, WITHIN_TOLERANCE, outside
from yards.rules import errors, fixture, identity

ICAR = "ISO 11784 as ICAR shows it: flag, 14 bits, flag, 10 bits of code, 38 bits of number"
MAKERS = "ICAR, list of manufacturer codes"
UELN = "ueln.net, examples of UELN codes"
COMMISSION = "European Commission, questions and answers on Regulation 2021/963"


def warned(number: str) -> list[str]:
    found = identity.transponder(number)
    assert found.number == number
    return [each.key for each in found.warnings]


def refused(read: object, text: str) -> list[str]:
    with pytest.raises(errors.Invalid) as refusal:
        read(text)  # type: ignore[operator]
    return [each.key for each in refusal.value.errors]


@outside("38 bits of national number: 274877906943 is the largest", source=ICAR, status=EXACT)
def test_the_largest_national_number() -> None:
    assert identity.NATIONAL_MOST == 274_877_906_943
    assert warned("826274877906943") == []
    for number in ("826274877906944", "826300000000000"):
        assert refused(identity.transponder, number) == ["transponder_too_large"]


@outside(
    "shown as 15 digits: a 3-digit code of ISO 3166 kind and 12 digits, leading noughts kept",
    source=COMMISSION,
    status=EXACT,
)
def test_a_transponder_of_15_digits() -> None:
    assert warned("826123456789012") == []
    belgian = identity.transponder("056001234567890")
    assert (belgian.number, belgian.code, belgian.national) == (
        "056001234567890",
        "056",
        1_234_567_890,
    )
    assert belgian.warnings == ()
    for number in ("82612345678901", "8261234567890123", "82612345678901A"):
        assert refused(identity.transponder, number) == ["transponder_not_15_digits"]


@outside(
    "code 900 is shared: 900.215.000.000.000 to 900.215.010.999.999 is one maker's part of it",
    source=MAKERS,
    status=EXACT,
)
@pytest.mark.parametrize("number", ["900215000000000", "900215000012345", "900215010999999"])
def test_the_shared_makers_code_is_odd_and_not_wrong(number: str) -> None:
    assert warned(number) == ["transponder_shared_maker"]


@outside("999 is for tests, and 000 is misuse", source=MAKERS, status=EXACT)
def test_a_test_code_is_warned_of_and_no_code_is_refused() -> None:
    assert warned("999123456789012") == ["transponder_test_code"]
    assert refused(identity.transponder, "000123456789012") == ["transponder_without_country"]


@outside(
    "901 to 998 are makers; a country code that ISO 3166 has not assigned makes no sense",
    source=MAKERS,
    status=EXACT,
)
def test_makers_codes_are_taken_and_unassigned_countries_warned_of() -> None:
    assert warned("985123456789012") == warned("901000000000001") == []
    assert warned("998000000000001") == []
    assert warned("001000000000001") == ["transponder_unassigned_country"]


@outside("899 is not assigned", source="ISO 3166-1 numeric", status=FROM_MEMORY)
def test_an_unassigned_country_is_named_in_the_warning() -> None:
    [odd] = identity.transponder("899000000000001").warnings
    assert (odd.key, odd.params) == ("transponder_unassigned_country", {"code": "899"})


@outside("the 64 bits of an animal's transponder", source=ICAR, status=WITHIN_TOLERANCE)
@pytest.mark.parametrize(
    ("number", "bits"),
    [
        ("826123456789012", "8000CE9CBE991A14"),
        ("900215000012345", "8000E1320EFFD639"),
        ("999123456789012", "8000F9DCBE991A14"),
    ],
)
def test_the_bits_in_the_radio_frame(number: str, bits: str) -> None:
    code, national = int(number[:3]), int(number[3:])
    laid_out = f"1{0:014b}0{code:010b}{national:038b}"
    assert len(laid_out) == 64
    assert f"{int(laid_out, 2):016X}" == bits
    assert f"{identity.transponder(number).bits:016X}" == bits


@given(st.integers(1, 999), st.integers(0, 2**38 - 1), st.sampled_from(["", " ", ".", "-"]))
def test_any_number_that_fits_is_read_back_from_its_bits(code: int, rest: int, by: str) -> None:
    text = f"{code:03d}{by}{rest:012d}"
    found = identity.transponder(text)
    assert (found.bits >> 38 & 0x3FF, found.bits & 0x3FFFFFFFFF) == (code, rest)
    assert found.bits >> 48 == 0x8000
    assert found.number == f"{code:03d}{rest:012d}"


@given(st.text(max_size=20))
def test_any_text_is_read_or_refused_at_its_field(text: str) -> None:
    for read in (identity.transponder, identity.ueln):
        try:
            number = read(text, "here").number
        except errors.Invalid as refusal:
            found = refusal
        else:
            assert len(number) == 15
            assert number.isascii()
            continue
        assert [each.field for each in found.errors] == ["here"]


@outside("printed UELNs", source=UELN, status=EXACT)
@pytest.mark.parametrize(
    ("country_and_base", "animal", "number"),
    [
        ("250001", "00155928M", "25000100155928M"),
        ("372414", "001234567", "372414001234567"),
        ("121212", "0078M0234", "1212120078M0234"),
    ],
)
def test_printed_uelns(country_and_base: str, animal: str, number: str) -> None:
    for text in (number, f"{country_and_base} {animal}", number.lower()):
        found = identity.ueln(text)
        assert found.number == number
        assert found.country + found.database == country_and_base
        assert found.individual == animal


@outside(
    "letters in the database part are allowed, where ueln.net says digits only",
    source=COMMISSION,
    status=EXACT,
)
def test_letters_in_the_database_part_are_taken_without_a_warning() -> None:
    found = identity.ueln("372A1B001234567")
    assert (found.database, found.warnings) == ("A1B", ())


@outside(
    "15 characters, digits for the country, punctuation taken out or translated first",
    source=UELN,
    status=EXACT,
)
def test_a_ueln_of_noughts_alone_is_refused() -> None:
    for number in ("000000000000000", "000 000 000000000"):
        assert refused(identity.ueln, number) == ["ueln_all_noughts"]
    assert identity.ueln("250000000000000").number == "250000000000000"


@outside(
    "a chip that shows noughts only after its code was not read, or not written",
    source="people who read chips",
    status=COMMON_PRACTICE,
)
def test_a_national_number_of_nought_is_odd_and_not_wrong() -> None:
    assert warned("826000000000000") == ["transponder_number_zero"]
    assert warned("900000000000000") == ["transponder_shared_maker", "transponder_number_zero"]
    assert warned("826000000000001") == []


@pytest.mark.parametrize("number", ["25000100155928", "2500010015/928M", "AB000100155928M"])
def test_what_cannot_be_a_ueln(number: str) -> None:
    assert refused(identity.ueln, number) == ["ueln_wrong_shape"]


@pytest.mark.parametrize("number", ["2500010015592ß", "25000100155928ı", "２5000100155928M"])
def test_letters_and_digits_of_other_alphabets_do_not_turn_into_ours(number: str) -> None:
    assert refused(identity.ueln, number) == ["ueln_wrong_shape"]


def test_a_country_that_is_not_assigned_is_odd_in_a_ueln_and_not_wrong() -> None:
    """121 in ueln.net's own made-up example is no country."""
    [odd] = identity.ueln("1212120078M0234").warnings
    assert (odd.key, odd.params) == ("ueln_country", {"code": "121"})
    assert identity.ueln("25000100155928M").warnings == ()


COUNTRIES = (
    "AUT 040, AUS 036, BEL 056, CAN 124, CHE 756, CZE 203, DEU 276, DNK 208, ESP 724, FRA 250, "
    "GBR 826, IRL 372, ITA 380, NLD 528, NZL 554, PRT 620, SWE 752, USA 840"
)


@outside("numeric codes of 18 countries", source="ISO 3166-1 numeric", status=FROM_MEMORY)
@pytest.mark.parametrize("country", COUNTRIES.split(", "))
def test_countries_by_their_numeric_codes(country: str) -> None:
    assert identity.is_country(country[-3:])


def test_the_table_of_countries_holds_what_it_may() -> None:
    codes = fixture.load("countries")["codes"]
    assert codes == sorted(set(codes))
    assert len(codes) == 249
    assert all(len(code) == 3 and code.isdigit() and 0 < int(code) < 900 for code in codes)


@outside(
    "one born on 29 February has its birthday on 1 March where there is none",
    source="people who keep horses; countries differ",
    status=COMMON_PRACTICE,
)
def test_age_turns_on_the_birthday() -> None:
    assert identity.age(date(2016, 2, 29), date(2026, 2, 28)) == 9
    assert identity.age(date(2016, 2, 29), date(2026, 3, 1)) == 10
    assert identity.age(date(2016, 5, 1), date(2026, 4, 30)) == 9
    assert identity.age(date(2016, 5, 1), date(2026, 5, 1)) == 10
    assert identity.age(date(2026, 5, 1), date(2026, 4, 30)) == -1


@given(st.dates(date(1950, 1, 1), date(2030, 1, 1)), st.dates(date(1950, 1, 1), date(2030, 1, 1)))
def test_age_and_months_agree(born: date, on: date) -> None:
    assert identity.age(born, on) == identity.months_between(born, on) // 12


def test_a_birth_is_a_day_or_a_whole_year() -> None:
    year, day = identity.born("2014"), identity.born("2014-05-01")
    assert (year.earliest, year.latest) == (date(2014, 1, 1), date(2014, 12, 31))
    assert day.earliest == day.latest == date(2014, 5, 1)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("14", "not_a_birth"),
        ("2014-13-01", "not_a_birth"),
        ("2014-02-30", "not_a_birth"),
        ("２０１４", "not_a_birth"),
        ("0000", "not_a_birth"),
        ("1949", "born_too_long_ago"),
        ("2026-04-13", "born_in_the_future"),
        ("2027", "born_in_the_future"),
    ],
)
def test_what_cannot_be_a_birth(text: str, key: str) -> None:
    with pytest.raises(errors.Invalid) as refusal:
        identity.born(text, today=date(2026, 4, 12))
    assert [each.key for each in refusal.value.errors] == [key]
