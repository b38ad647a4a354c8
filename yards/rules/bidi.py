"""Names that are written from right to left, inside sentences that are not.

Markup isolates a name by ``<bdi>``; a sentence that is made before there is markup, by the
characters of Unicode Standard Annex 9 that mean the same.
"""

import unicodedata

_FIRST_STRONG, _POP = "\u2068", "\u2069"
_RIGHT_TO_LEFT = frozenset({"R", "AL", "RLE", "RLO", "RLI"})


def isolated(name: str) -> str:
    """Return a name that cannot turn the words around it; one without need is left as it is."""
    if any(unicodedata.bidirectional(character) in _RIGHT_TO_LEFT for character in name):
        return f"{_FIRST_STRONG}{name}{_POP}"
    return name
