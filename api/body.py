"""Reads a request's body: never more than the limit, only JSON, only what can be understood."""

from typing import Any, Protocol

from django.http import HttpRequest
from django.http.request import UnreadablePostError
from rest_framework.exceptions import UnsupportedMediaType

from yards.rules import errors, json
from yards.rules.errors import FieldError

MEDIA_TYPE = "application/json"
_PIECE = 64 * 1024
# A client that is still sending does not listen yet: read on a while, so that it hears the refusal.
_DRAIN = 8


class _Readable(Protocol):
    def read(self, size: int, /) -> bytes: ...


def read(request: HttpRequest, limit: int) -> dict[str, Any]:
    """Return the JSON object sent, at most ``limit`` bytes of it.

    Raises TooLarge, UnsupportedMediaType, Malformed or Invalid, in that order.
    """
    raw = received(request, limit)
    if raw and (request.content_type or "").lower() != MEDIA_TYPE:
        raise UnsupportedMediaType(request.content_type or "")
    found = json.decode(raw)
    if not isinstance(found, dict):
        raise errors.Invalid(FieldError("", "not_an_object"))
    return found


def received(request: HttpRequest, limit: int) -> bytes:
    """Return the body as it was sent, at most ``limit`` bytes of it; raises TooLarge, Malformed."""
    stream = _stream(request)
    try:
        if not _declares_over(request, limit):
            raw = stream.read(limit + 1)
            if len(raw) <= limit:
                return raw
        _drain(stream, limit * _DRAIN)
    except (UnreadablePostError, OSError) as error:
        raise errors.Malformed(FieldError("", "body_unreadable")) from error
    raise errors.TooLarge(FieldError("", "body_too_large", {"limit_kib": limit // 1024}))


def _declares_over(request: HttpRequest, limit: int) -> bool:
    declared = request.META.get("CONTENT_LENGTH") or "0"
    return declared.isdecimal() and (len(declared) > 12 or int(declared) > limit)


def _stream(request: HttpRequest) -> _Readable:
    """Return what to read from: Django's own, or the server's when the length is not declared."""
    if not request.META.get("CONTENT_LENGTH") and request.META.get("wsgi.input_terminated"):
        chunked: _Readable = request.META["wsgi.input"]
        return chunked
    return request


def _drain(stream: _Readable, most: int) -> None:
    while most > 0:
        piece = stream.read(_PIECE)
        if not piece:
            return
        most -= len(piece)
