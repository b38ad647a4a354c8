"""Erasing a person: what is asked, and where their name or address stands in a text."""

import json
import re
from dataclasses import dataclass

from yards.rules.fields import Reader
from yards.rules.grant import REASON_MOST

# In JSON a line's end before a name is written as a letter.
_BEFORE, _AFTER = r"(^|[^[:alnum:]]|\\[nrtbf])", r"($|[^[:alnum:]])"


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


def pattern(known_as: tuple[str, ...], *, in_json: bool = False) -> str:
    """Return a regular expression of PostgreSQL for a text that holds any of these, as a whole.

    To be asked without regard to case. ``in_json``: the text is JSON as RFC 8785 writes it.
    """
    asked = [json.dumps(each, ensure_ascii=False)[1:-1] if in_json else each for each in known_as]
    return f"{_BEFORE}({'|'.join(re.escape(each) for each in asked if each)}){_AFTER}"
