"""A name for each request, and one log line when it is done.

The line carries the route and never the path's ids, query, address or person.
"""

import logging
import re
import time
from collections.abc import Callable
from contextvars import ContextVar
from uuid import uuid4

from django.http import HttpRequest, HttpResponseBase, HttpResponseNotAllowed

logger = logging.getLogger(__name__)

META_KEY = "HALFPOINT_REQUEST_ID"
HEADER = "X-Request-ID"
current: ContextVar[str] = ContextVar("halfpoint_request", default="")

METHODS = ("GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE")
_GIVEN = re.compile(r"[0-9A-Za-z-]{8,64}")


class RequestMiddleware:
    """Put the request's id in ``request.META["HALFPOINT_REQUEST_ID"]``, the answer and the logs."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer, timed and named. A proxy's own id is kept if it is plain."""
        given = request.headers.get(HEADER, "")
        name = given if _GIVEN.fullmatch(given) else str(uuid4())
        request.META[META_KEY] = name
        mark = current.set(name)
        began = time.perf_counter()
        try:
            # A library's page may answer to any method as if it were GET; the API refuses its own.
            known = request.method in METHODS or request.path.startswith("/api/")
            response = self.get_response(request) if known else HttpResponseNotAllowed(METHODS)
            response[HEADER] = name
            match = request.resolver_match
            logger.info(
                "request",
                extra={
                    "method": request.method,
                    "route": match.route if match else "",
                    "status": response.status_code,
                    "ms": round((time.perf_counter() - began) * 1000, 1),
                },
            )
            return response
        finally:
            current.reset(mark)
