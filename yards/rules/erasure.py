"""Erasing a person: what is asked, and where their name or address stands in a text."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, quote_plus, unquote_plus

from yards.rules.fields import Reader
from yards.rules.grant import REASON_MOST

_BEFORE, _AFTER = "(^|[^[:alnum:]])", "($|[^[:alnum:]])"


@dataclass(frozen=True, slots=True)
class Asked:
    """Why somebody is to be erased; ``texts``: from what others wrote as well."""

    reason: str
    texts: bool


def check(raw: object, known_as: tuple[str, ...]) -> Asked:
    """Return why, or raise Invalid: a reason that does not name them, and the tick of being sure.

    ``known_as`` is what they are called until now.
    """
    reader = Reader(raw)
    reason = reader.text("reason", most=REASON_MOST, required=True)
    texts = bool(reader.flag("texts", default=False))
    if not reader.flag("understood", default=False):
        reader.refuse("understood", "erasure_not_understood")
    if any(each.casefold() in reason.casefold() for each in known_as if each):
        reader.refuse("reason", "reason_names_them")
    reader.finish()
    return Asked(reason, texts)


def is_single(name: str) -> bool:
    """Return whether a name is one word: it may be any word, as of a role, and is not looked for.

    ``tenancy.unnaming`` asks the same of the database.
    """
    return " " not in name.strip(" ")


def looked_for(name: str, email: str) -> tuple[str, ...]:
    """Return what a text of somebody may hold: their address, and their name if it is no word."""
    return tuple(each for each in ("" if is_single(name) else name, email) if each)


def pattern(looked: tuple[str, ...]) -> str:
    """Return a regular expression of PostgreSQL for a text that holds any of these, as a whole.

    To be asked without regard to case, of one at least.
    """
    return f"{_BEFORE}({'|'.join(map(re.escape, looked))}){_AFTER}"


def spellings(looked: tuple[str, ...]) -> tuple[str, ...]:
    """Return each as it is written in words and in addresses, where a space is a sign of its own.

    A text that holds none of these, without regard to case, holds none of what is looked for.
    """
    written = [(each, quote_plus(each), quote(each, safe="")) for each in looked]
    return tuple(dict.fromkeys(each for three in written for each in three))


def holds(said: Any, looked: tuple[str, ...]) -> bool:
    """Return whether a value of parsed JSON holds any of these, as a whole and in any case.

    Strings are looked at, plain and as addresses write them; names of fields are not.
    """
    if not looked:
        return False
    asked = re.compile(
        f"(?<![^\\W_])({'|'.join(map(re.escape, looked))})(?![^\\W_])", re.IGNORECASE
    )
    return any(asked.search(text) or asked.search(unquote_plus(text)) for text in _strings(said))


def _strings(said: Any) -> Iterator[str]:
    if isinstance(said, str):
        yield said
    elif isinstance(said, dict | list):
        for each in said.values() if isinstance(said, dict) else said:
            yield from _strings(each)
