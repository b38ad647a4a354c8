"""Texts in a file of comma-separated values: no spreadsheet takes one for a formula.

A cell that begins with one of the signs below may be run as a formula by what opens the file, so
such a text gets an apostrophe before it (OWASP, CSV injection; ASVS v5.0.0-1.2.10 names the null
character too). A plain figure stays a figure, also below zero.
"""

import re

# Blanks before a sign do not hide it.
_RUN = re.compile(r"[^\S\t\r\n]*[=+\-@\t\r\n\0＝＋－＠]")
_FIGURE = re.compile(r"-?[0-9]+(?:\.[0-9]+)?", re.ASCII)


def harmless(value: str) -> str:
    """Return a text that a spreadsheet shows as it is."""
    runs = _RUN.match(value) and not _FIGURE.fullmatch(value)
    return f"'{value}" if runs else value
