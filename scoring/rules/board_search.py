"""How a horse is found by what somebody types: without case, accents or the spaces of numbers.

``Horse.found_by`` holds each horse's name folded so, its transponder and its UELN, a line each;
the database makes it by the same steps as ``fold`` (``yards.models.horses``).
"""

import re
import unicodedata
from dataclasses import dataclass

from yards.rules import identity

MOST = 120
# Marks that stand on letters: Latin, Greek and Cyrillic, Hebrew points, Arabic vowels.
_MARKS = re.compile("[\u0300-\u036f\u0591-\u05c7\u064b-\u0652\u0670]")
# Letters that no normal form takes apart, and the apostrophes that keyboards do not agree on.
_ONE = str.maketrans("øłđðħı’ʼ", "olddhi''")
_TWO = (("æ", "ae"), ("œ", "oe"), ("þ", "th"))
_SEPARATORS = re.compile(r"[ .\-]")
_NUMBER = re.compile(r"[0-9][0-9A-Za-z .\-]*", re.ASCII)
# Fewer characters of a number than this are found in half of all transponders.
_LEAST_OF_A_NUMBER = 4


def fold(text: str) -> str:
    """Return text as names are found by: casefolded, without accents."""
    plain = _MARKS.sub("", unicodedata.normalize("NFD", identity.name_key(text))).translate(_ONE)
    for letter, letters in _TWO:
        plain = plain.replace(letter, letters)
    return plain


@dataclass(frozen=True, slots=True)
class Search:
    """Words that a name must all hold, in any order; or the part of a number, empty for none."""

    words: tuple[str, ...]
    number: str


def read(text: str) -> Search | None:
    """Return what is looked for, None where nothing was typed."""
    typed = text.strip()[:MOST]
    words = tuple(dict.fromkeys(fold(typed).split()))
    if not words:
        return None
    number = _SEPARATORS.sub("", typed).lower() if _NUMBER.fullmatch(typed) else ""
    return Search(words, number if len(number) >= _LEAST_OF_A_NUMBER else "")


def finds(search: Search, name: str, transponder: str, ueln: str) -> bool:
    """Return whether an animal is found: what the database is asked, said in Python."""
    folded = fold(name)
    if all(word in folded for word in search.words):
        return True
    return bool(search.number) and (search.number in transponder or search.number in ueln.lower())
