"""Lists: ``{results, next, previous}``, with links that keep the filters."""

from collections.abc import Callable
from typing import TypeVar

from rest_framework.request import Request
from rest_framework.response import Response

from yards.queries import paging

Item = TypeVar("Item")
CURSOR = "cursor"


def cursor_of(request: Request) -> str | None:
    """Return the cursor asked for; None is the newest page."""
    return request.query_params.get(CURSOR) or None


def response(
    request: Request, page: paging.Page[Item], shown: Callable[[Item], dict[str, object]]
) -> Response:
    """Return a page of a list. ``next`` is older, ``previous`` newer, null at either end."""
    return Response(
        {
            "results": [shown(item) for item in page.items],
            "next": _link(request, page.next),
            "previous": _link(request, page.previous),
        }
    )


def _link(request: Request, cursor: str | None) -> str | None:
    if cursor is None:
        return None
    query = request.query_params.copy()
    query[CURSOR] = cursor
    return request.build_absolute_uri(f"{request.path}?{query.urlencode()}")
