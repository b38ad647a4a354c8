"""The forms single values take: text in, a typed value out, or the key of what is wrong with it.

Every pattern is ASCII: Python's own number and date readers also take the digits of other scripts,
underscores and spaces, which no other program that reads the same record would.
"""

import re
import unicodedata
from collections.abc import Collection
from datetime import UTC, date, datetime, time, timedelta, timezone
from decimal import Decimal
from uuid import UUID

from yards.rules.json import Number

FIRST_YEAR, LAST_YEAR = 1900, 2200
DIGITS_AT_MOST = 20
PHONE_LEAST, PHONE_MOST, PHONE_DIGITS = 5, 32, 3

_DECIMAL = re.compile(r"[0-9]+(\.[0-9]+)?", re.ASCII)
_UUID = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}", re.ASCII)
_INSTANT = re.compile(
    r"([0-9]{4})-([0-9]{2})-([0-9]{2})[Tt]([0-9]{2}):([0-9]{2}):([0-9]{2})(?:\.([0-9]{1,9}))?"
    r"(?:([Zz])|([+-])([0-9]{2}):([0-9]{2}))",
    re.ASCII,
)
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
_MONTH_DAY = re.compile(r"[0-9]{2}-[0-9]{2}", re.ASCII)
_CLOCK = re.compile(r"([0-9]{2}):([0-9]{2})(:00)?", re.ASCII)
_PHONE = re.compile(r"[0-9+() ./\-]+(( ?ext\.? ?| ?x ?)[0-9]+)?", re.ASCII | re.IGNORECASE)
# Overrides and embeddings of the writing direction: a line that reads otherwise than it is.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e")
_BREAKS = re.compile("\r\n|[\r\u0085\u2028\u2029]")


class Unfit(Exception):
    """A value that does not have its form; carries the message key and its parameters."""

    def __init__(self, key: str, **params: str | int) -> None:
        super().__init__(key)
        self.key = key
        self.params = params


def _string(sent: object, key: str) -> str:
    if not isinstance(sent, str) or isinstance(sent, Number):
        raise Unfit(key)
    return sent


def text(sent: object, most: int, lines: bool) -> str:
    """Return text in NFC, stripped; ``lines`` keeps line breaks, as \\n, and tabs."""
    found = unicodedata.normalize("NFC", _string(sent, "not_text"))
    if lines:
        found = _BREAKS.sub("\n", found)
    found = found.strip()
    allowed = "\n\t" if lines else ""
    if any(_is_hidden(each) and each not in allowed for each in found):
        raise Unfit("unreadable_text")
    if len(found) > most:
        raise Unfit("too_long", most=most)
    return found


def _is_hidden(character: str) -> bool:
    return unicodedata.category(character) in {"Cc", "Cs", "Zl", "Zp"} or character in _TURNING


def phone(sent: object) -> str:
    """Return a telephone number: digits, spaces, + - ( ) . / and an extension."""
    found = _string(sent, "not_a_phone").strip()
    fits = PHONE_LEAST <= len(found) <= PHONE_MOST and _PHONE.fullmatch(found)
    if not fits or sum(each.isdigit() for each in found) < PHONE_DIGITS:
        raise Unfit("not_a_phone")
    return found


def choice(sent: object, choices: Collection[str]) -> str:
    """Return one of a closed list, exactly as it stands there."""
    if not isinstance(sent, str) or isinstance(sent, Number) or sent not in choices:
        raise Unfit("not_a_choice", choices=" | ".join(choices))
    return sent


def flag(sent: object) -> bool:
    """Return true or false, never a word or number for them."""
    if not isinstance(sent, bool):
        raise Unfit("not_a_flag")
    return sent


def uuid(sent: object) -> UUID:
    """Return an id."""
    if isinstance(sent, UUID):
        return sent
    if not _UUID.fullmatch(_string(sent, "not_an_id")):
        raise Unfit("not_an_id")
    return UUID(str(sent))


def number(sent: object) -> Decimal:
    """Return a plain decimal: digits, perhaps a point and more digits. No sign, no exponent."""
    if isinstance(sent, bool) or not isinstance(sent, str | int | Decimal):
        raise Unfit("not_a_number")
    if isinstance(sent, Decimal):
        written = format(sent, "f") if sent.is_finite() and abs(sent.adjusted()) < 50 else ""
    else:
        # Python refuses to write out integers of thousands of digits; they are too long anyway.
        written = sent if isinstance(sent, str) else str(sent) if abs(sent) < 10**50 else ""
    if len(written) > DIGITS_AT_MOST or not _DECIMAL.fullmatch(written):
        raise Unfit("not_a_number")
    return Decimal(written)


def decimal(sent: object, low: Decimal | int, high: Decimal | int, places: int) -> Decimal:
    """Return a plain decimal within bounds, both allowed, of at most so many places by value."""
    found = number(sent)
    if not low <= found <= high:
        raise Unfit("out_of_range", low=str(low), high=str(high))
    if found != round(found, places):
        raise Unfit("too_many_places", places=places)
    return found


def integer(sent: object, low: int, high: int) -> int:
    """Return a whole number within bounds, both allowed."""
    found = number(sent)
    if found != found.to_integral_value():
        raise Unfit("not_a_whole_number")
    if not low <= found <= high:
        raise Unfit("out_of_range", low=str(low), high=str(high))
    return int(found)


def instant(sent: object) -> datetime:
    """Return an instant in UTC from RFC 3339 (section 5.6) with its offset; to the microsecond.

    Leap seconds are refused: Python, PostgreSQL and phones have no such instant.
    """
    if isinstance(sent, datetime):
        if sent.tzinfo is None:
            raise Unfit("not_an_instant")
        return sent.astimezone(UTC)
    parts = _INSTANT.fullmatch(_string(sent, "not_an_instant"))
    if parts is None:
        raise Unfit("not_an_instant")
    year, month, day, hour, minute, second = (int(parts[place]) for place in range(1, 7))
    _year(year)
    fraction = int((parts[7] or "0").ljust(9, "0")[:6])
    ahead = timedelta()
    if parts[9]:
        if int(parts[11]) > 59 or int(parts[10]) > 23:
            raise Unfit("not_an_instant")
        ahead = timedelta(hours=int(parts[10]), minutes=int(parts[11]))
    zone = timezone(-ahead if parts[9] == "-" else ahead)
    try:
        at = datetime(year, month, day, hour, minute, second, fraction, tzinfo=zone)
    except ValueError as error:
        raise Unfit("not_an_instant") from error
    return at.astimezone(UTC)


def _year(year: int) -> None:
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise Unfit("year_out_of_range", low=FIRST_YEAR, high=LAST_YEAR)


def local_date(sent: object) -> date:
    """Return a day, written 2026-04-12."""
    if isinstance(sent, date) and not isinstance(sent, datetime):
        return sent
    written = _string(sent, "not_a_date")
    if not _DATE.fullmatch(written):
        raise Unfit("not_a_date")
    _year(int(written[:4]))
    try:
        return date.fromisoformat(written)
    except ValueError as error:
        raise Unfit("not_a_date") from error


def month_day(sent: object) -> str:
    """Return a day of any year, written 03-01."""
    written = _string(sent, "not_a_month_day")
    try:
        if not _MONTH_DAY.fullmatch(written):
            raise Unfit("not_a_month_day")
        date(2000, int(written[:2]), int(written[3:]))
    except ValueError as error:
        raise Unfit("not_a_month_day") from error
    return written


def clock_time(sent: object) -> time:
    """Return a time of day, written 21:30."""
    if isinstance(sent, time):
        return sent
    parts = _CLOCK.fullmatch(_string(sent, "not_a_time"))
    if parts is None or int(parts[1]) > 23 or int(parts[2]) > 59:
        raise Unfit("not_a_time")
    return time(int(parts[1]), int(parts[2]))
