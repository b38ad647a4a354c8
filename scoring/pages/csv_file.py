"""A file of comma-separated values, each text made harmless to a spreadsheet."""

import csv
import io
import re
from collections.abc import Iterable, Sequence

from django.http import HttpResponse
from django.utils.http import content_disposition_header

from scoring.rules import chart_file

_FIGURE = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")


def response(name: str, head: Sequence[str], rows: Iterable[Sequence[str]]) -> HttpResponse:
    """Return a file of that name with a head and rows."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(head)
    writer.writerows([_harmless(value) for value in row] for row in rows)
    # With the mark that tells a spreadsheet which encoding it is (RFC 3629, 6).
    body = out.getvalue().encode("utf-8-sig")
    answer = HttpResponse(body, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = content_disposition_header(True, f"{name}.csv")
    return answer


def _harmless(value: str) -> str:
    """Return a text that no spreadsheet runs; a figure of ours below zero stays one."""
    return value if _FIGURE.fullmatch(value) else chart_file.harmless(value)
