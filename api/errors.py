"""Every refusal in one shape: RFC 9457 problem details, in the reader's language."""

import logging
from collections.abc import Mapping, Sequence
from http import HTTPStatus

from django.core.exceptions import BadRequest, RequestDataTooBig, SuspiciousOperation
from django.core.signals import got_request_exception
from django.db import OperationalError
from django.http import HttpRequest
from django.http.request import UnreadablePostError
from rest_framework import exceptions
from rest_framework.response import Response

from api import multipart, wording
from yards.rules import errors
from yards.rules.errors import FieldError

logger = logging.getLogger(__name__)

MEDIA_TYPE = "application/problem+json"
_REQUEST_ID = "HALFPOINT_REQUEST_ID"
_CHALLENGE = {"WWW-Authenticate": 'Token realm="Halfpoint"'}
_AGAIN = {"Retry-After": "1"}

# What the frameworks refuse, by status and the key of what we say of it.
_FOREIGN: tuple[tuple[type[Exception], int, str], ...] = (
    (exceptions.MethodNotAllowed, 405, "method_not_allowed"),
    (multipart.NotMultipart, 415, "not_multipart"),
    (exceptions.UnsupportedMediaType, 415, "not_json"),
    (exceptions.Throttled, 429, "throttled"),
    (RequestDataTooBig, 413, "too_large"),
    (SuspiciousOperation, 400, "malformed"),
    (BadRequest, 400, "malformed"),
    (UnreadablePostError, 400, "malformed"),
)


def problem(
    status: int,
    key: str,
    faults: Sequence[FieldError] = (),
    *,
    request_id: str,
    params: Mapping[str, str | int] | None = None,
) -> dict[str, object]:
    """Return the body of a refusal; ``key`` names the sentence for ``detail``."""
    return {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": wording.say(key, params),
        "errors": [
            {"field": fault.field, "message": wording.say(fault.key, fault.params)}
            for fault in faults
        ],
        "request_id": request_id,
    }


def request_id(request: HttpRequest) -> str:
    """Return the request's name, as the logs have it."""
    return str(request.META.get(_REQUEST_ID, ""))


def response(error: Exception, request: HttpRequest) -> Response:
    """Return the answer to anything that was raised. Only a fault of ours is a 500, and logged."""
    status, key, faults, headers = _sorted_out(error, request)
    params = None
    if isinstance(error, errors.AccessEnded):
        key, params = error.said, error.params
    return Response(
        problem(status, key, faults, request_id=request_id(request), params=params),
        status=status,
        headers=headers,
        content_type=MEDIA_TYPE,
    )


def _sorted_out(
    error: Exception, request: HttpRequest
) -> tuple[int, str, Sequence[FieldError], dict[str, str]]:
    if isinstance(error, errors.Refused):
        headers = _CHALLENGE if isinstance(error, errors.NotSignedIn) else {}
        return error.status, error.key, error.errors, headers
    if isinstance(error, OperationalError):
        # A lock that was held too long, a deadlock, a database that went away: not the client's
        # doing, and nothing was written.
        logger.warning("the database could not finish", exc_info=error)
        return 503, "busy", (), _AGAIN
    for kind, status, key in _FOREIGN:
        if isinstance(error, kind):
            wait = getattr(error, "wait", None)
            return status, key, (), {"Retry-After": str(max(1, int(wait)))} if wait else {}
    logger.error("a view failed", exc_info=error)
    got_request_exception.send(sender=None, request=request)
    return 500, "unexpected", (), {}
