"""Lists in pages, newest first, with cursors that say nothing and carry nothing.

A cursor is a direction and a row's ref, sealed for one list of one organisation. It holds no
surrogate key, no filter and no scope: each page is cut anew from what its reader may see now.
"""

import base64
import binascii
from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar
from uuid import UUID

from django.db.models import QuerySet
from django.utils.crypto import constant_time_compare, salted_hmac

from yards.models import Owned
from yards.rules import errors
from yards.rules.roles import Viewer

Row = TypeVar("Row", bound=Owned)
Item = TypeVar("Item")

SIZE = 50
LARGEST = 200
_SALT = "yards.queries.paging"
_OLDER, _NEWER = b"o", b"n"
_SEAL = 16


@dataclass(frozen=True, slots=True)
class Page(Generic[Item]):
    """Some items of a list, and the cursors of the pages beside it (None where there is none)."""

    items: tuple[Item, ...]
    next: str | None = None
    previous: str | None = None


def _seal(viewer: Viewer, name: str, body: bytes) -> bytes:
    words = f"{viewer.organisation}/{name}/".encode() + body
    return salted_hmac(_SALT, words, algorithm="sha256").digest()[:_SEAL]


def _cursor(viewer: Viewer, name: str, way: bytes, ref: UUID) -> str:
    body = way + ref.bytes
    return base64.urlsafe_b64encode(body + _seal(viewer, name, body)).decode().rstrip("=")


def _opened(viewer: Viewer, name: str, cursor: str) -> tuple[bytes, UUID]:
    broken = errors.Malformed(errors.FieldError("cursor", "broken_cursor"))
    try:
        raw = base64.b64decode(cursor + "=" * (-len(cursor) % 4), altchars=b"-_", validate=True)
    except (binascii.Error, ValueError) as error:
        raise broken from error
    body, seal = raw[:-_SEAL], raw[-_SEAL:]
    if len(body) != 17 or not constant_time_compare(seal, _seal(viewer, name, body)):
        raise broken
    return body[:1], UUID(bytes=body[1:])


def page_of(
    viewer: Viewer,
    rows: QuerySet[Row],
    shown: Callable[[list[Row]], list[Item]],
    *,
    name: str,
    cursor: str | None = None,
    size: int = SIZE,
) -> Page[Item]:
    """Cut one page out of ``rows``, newest first, in one query besides those of ``shown``.

    ``rows`` holds what the viewer may see, unordered. ``name`` is the list's own, so that a cursor
    of one list is refused by another. Raises Malformed for a cursor that we did not make here.
    """
    size = max(1, min(size, LARGEST))
    way, at = _opened(viewer, name, cursor) if cursor else (_OLDER, None)
    if at is not None:
        table: QuerySet[Row] = QuerySet(rows.model)
        place = table.filter(organisation_id=viewer.organisation, ref=at).values("id")[:1]
        rows = rows.filter(**{"id__lt" if way == _OLDER else "id__gt": place})
    found = list(rows.order_by("id" if way == _NEWER else "-id")[: size + 1])
    more, kept = len(found) > size, found[:size]
    if way == _NEWER:
        kept.reverse()
    older, newer = (True, more) if way == _NEWER else (more, at is not None)
    return Page(
        tuple(shown(kept)),
        next=_cursor(viewer, name, _OLDER, kept[-1].ref) if kept and older else None,
        previous=_cursor(viewer, name, _NEWER, kept[0].ref) if kept and newer else None,
    )
