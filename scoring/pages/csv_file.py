"""A file of comma-separated values: the only place that writes one, each text made harmless."""

import csv
import io
from collections.abc import Iterable, Sequence

from django.http import HttpResponse
from django.utils.http import content_disposition_header

from scoring.rules import csv_cell


def response(name: str, head: Sequence[str], rows: Iterable[Sequence[str]]) -> HttpResponse:
    """Return a file of that name with a head and rows, quoted as RFC 4180 has it."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(head)
    writer.writerows([csv_cell.harmless(value) for value in row] for row in rows)
    # With the mark that tells a spreadsheet which encoding it is (RFC 3629, 6).
    body = out.getvalue().encode("utf-8-sig")
    answer = HttpResponse(body, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = content_disposition_header(True, f"{name}.csv")
    return answer
