"""Who an animal is on paper: transponder, UELN, birth, and the key its name is found by.

Faults make a number impossible; warnings say that it is possible but odd. A number proves neither
that it is unique nor, for a transponder, where the animal was born.
"""

import re
import unicodedata
from dataclasses import dataclass
from datetime import date

from yards.rules import errors, fixture
from yards.rules.errors import FieldError

# ISO 11784: 10 bits of country or maker, 38 bits of national number, shown as 3 and 12 digits.
NATIONAL_MOST = 2**38 - 1
_ANIMAL = 1 << 63
TEST_CODE, SHARED_MAKER, FIRST_MAKER = "999", "900", 900
NAME_KEY_MOST = 240
FIRST_BIRTH_YEAR = 1950

_SEPARATORS = re.compile(r"[ .\-]")
_TRANSPONDER = re.compile(r"[0-9]{15}", re.ASCII)
_UELN = re.compile(r"[0-9]{3}[0-9A-Za-z]{12}", re.ASCII)
_YEAR = re.compile(r"[0-9]{4}", re.ASCII)
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Transponder:
    """A transponder's number as text, its two parts, and what is odd about it."""

    number: str
    code: str
    national: int
    warnings: tuple[FieldError, ...] = ()

    @property
    def bits(self) -> int:
        """The 64 bits that an animal's transponder holds under ISO 11784, flag first."""
        return _ANIMAL | int(self.code) << 38 | self.national


@dataclass(frozen=True, slots=True)
class Ueln:
    """A Universal Equine Life Number; the country is that of the database, not of birth."""

    number: str
    country: str
    database: str
    individual: str
    warnings: tuple[FieldError, ...] = ()


@dataclass(frozen=True, slots=True)
class Born:
    """A birth as given, "2014" or "2014-05-01", and the first and last day it can mean."""

    text: str
    earliest: date
    latest: date


def is_country(code: str) -> bool:
    """Return whether ISO 3166-1 has assigned a numeric code."""
    return code in fixture.load("countries")["codes"]


def transponder(text: str, field: str = "transponder") -> Transponder:
    """Return a transponder number read from text; spaces, points and hyphens may divide it.

    Raises Invalid: not 15 digits, code 000, or a national number that 38 bits cannot hold (ISO
    11784). Warns of the test code 999, the shared maker code 900, unassigned country codes, and a
    national number of 0, which an empty or unread chip shows (common practice).
    """
    number = _SEPARATORS.sub("", text) if isinstance(text, str) else ""
    if not _TRANSPONDER.fullmatch(number):
        raise errors.Invalid(FieldError(field, "transponder_not_15_digits"))
    code, national = number[:3], int(number[3:])
    if code == "000":
        raise errors.Invalid(FieldError(field, "transponder_without_country"))
    if national > NATIONAL_MOST:
        raise errors.Invalid(FieldError(field, "transponder_too_large"))
    zero = () if national else (FieldError(field, "transponder_number_zero"),)
    return Transponder(number, code, national, (*_odd_code(code, field), *zero))


def _odd_code(code: str, field: str) -> tuple[FieldError, ...]:
    if code == TEST_CODE:
        return (FieldError(field, "transponder_test_code"),)
    if code == SHARED_MAKER:
        return (FieldError(field, "transponder_shared_maker"),)
    if int(code) < FIRST_MAKER and not is_country(code):
        return (FieldError(field, "transponder_unassigned_country", {"code": code}),)
    return ()


def ueln(text: str, field: str = "ueln") -> Ueln:
    """Return a UELN read from text: 3 digits of country, 3 of database, 9 of the animal.

    Letters may stand in the last twelve. Sources differ on letters in the database part: ueln.net
    says digits, the European Commission's answers on Regulation 2021/963 allow letters; we take
    both. There is no check digit that all databases share. Raises Invalid for any other shape,
    and for noughts alone; warns of a country code that is not assigned.
    """
    given = re.sub(r"[ \-]", "", text) if isinstance(text, str) else ""
    if not _UELN.fullmatch(given):
        raise errors.Invalid(FieldError(field, "ueln_wrong_shape"))
    if not given.strip("0"):
        raise errors.Invalid(FieldError(field, "ueln_all_noughts"))
    number = given.upper()
    country = number[:3]
    odd = () if is_country(country) else (FieldError(field, "ueln_country", {"code": country}),)
    return Ueln(number, country, number[3:6], number[6:], odd)


def born(text: str, field: str = "born", today: date | None = None) -> Born:
    """Return a birth from "2014" or "2014-05-01"; raises Invalid for other text or the future."""
    try:
        found = _birth(text) if isinstance(text, str) else None
    except ValueError as error:
        raise errors.Invalid(FieldError(field, "not_a_birth")) from error
    if found is None:
        raise errors.Invalid(FieldError(field, "not_a_birth"))
    if found.earliest.year < FIRST_BIRTH_YEAR:
        raise errors.Invalid(FieldError(field, "born_too_long_ago", {"year": FIRST_BIRTH_YEAR}))
    if today is not None and found.earliest > today:
        raise errors.Invalid(FieldError(field, "born_in_the_future"))
    return found


def _birth(text: str) -> Born | None:
    if _YEAR.fullmatch(text):
        return Born(text, date(int(text), 1, 1), date(int(text), 12, 31))
    if _DATE.fullmatch(text):
        day = date.fromisoformat(text)
        return Born(text, day, day)
    return None


def age(born_on: date, on: date) -> int:
    """Return completed years between a birth and a date; one born on 29 February turns on 1 March.

    Negative before the birth.
    """
    before = (on.month, on.day) < (born_on.month, born_on.day)
    return on.year - born_on.year - before


def months_between(first: date, on: date) -> int:
    """Return completed calendar months from one day to another; negative before the first.

    A month that lacks the day is completed on the first of the next, as in ``age``.
    """
    months = 12 * (on.year - first.year) + on.month - first.month
    return months - (on.day < first.day)


def name_key(name: str) -> str:
    """Return what a name is found and sorted by: NFC, casefolded, at most 240 characters."""
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())
    return folded[:NAME_KEY_MOST]
