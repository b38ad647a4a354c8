"""What was just done, named by the address of the page that says so, for as long as it is news."""

from collections.abc import Container
from datetime import datetime, timedelta
from urllib.parse import parse_qsl, urlencode, urlsplit, urlunsplit
from uuid import UUID

from django.http import HttpRequest

from yards.rules import address, errors

SAVED = "saved"
_NEWS_FOR = timedelta(minutes=10)


def told(where: str, kind: str, ref: UUID, fragment: str = "") -> str:
    """Return a page's address with what was just done, for the page to say so."""
    parts = urlsplit(where)
    kept = [each for each in parse_qsl(parts.query) if each[0] != SAVED]
    query = urlencode([*kept, (SAVED, f"{kind}.{ref}")])
    return urlunsplit(("", "", parts.path, query, fragment or parts.fragment))


def named(request: HttpRequest, kinds: Container[str]) -> tuple[str, UUID] | None:
    """Return what an address names and of which kind; None for another kind, or for no id."""
    kind, _, written = request.GET.get(SAVED, "").partition(".")
    try:
        ref = address.ref(written) if kind in kinds else None
    except errors.Refused:
        return None
    return (kind, ref) if ref is not None else None


def is_news(at: datetime, now: datetime) -> bool:
    """Return whether what was done at an instant is still said."""
    return now - _NEWS_FOR < at <= now
