"""Reads a form with a file in it: never more than the limit, each field once, the file as bytes."""

import io
from typing import Any

from django.core.files.uploadhandler import MemoryFileUploadHandler
from django.http import HttpRequest
from django.http.multipartparser import MultiPartParser, MultiPartParserError
from rest_framework.exceptions import UnsupportedMediaType

from api import body
from yards.rules import errors
from yards.rules.errors import FieldError

MEDIA_TYPE = "multipart/form-data"


class NotMultipart(UnsupportedMediaType):
    """Another media type than a form with files."""


class _InMemory(MemoryFileUploadHandler):
    """Keeps a file in memory whatever its length: the whole body is measured before."""

    def handle_raw_input(self, *args: Any, **kwargs: Any) -> None:
        """Take every file."""
        self.activated = True


def read(request: HttpRequest, limit: int) -> dict[str, Any]:
    """Return the fields sent as text and the files as bytes, at most ``limit`` bytes of it all.

    Raises TooLarge, NotMultipart, Malformed or Invalid, in that order.
    """
    raw = body.received(request, limit)
    if (request.content_type or "").lower() != MEDIA_TYPE:
        raise NotMultipart(request.content_type or "")
    # The length is the body's own, whatever was declared.
    meta = {**request.META, "CONTENT_LENGTH": str(len(raw))}
    try:
        parser = MultiPartParser(meta, io.BytesIO(raw), [_InMemory(request)], "utf-8")
        texts, files = parser.parse()
    except MultiPartParserError as error:
        raise errors.Malformed(FieldError("", "form_unreadable")) from error
    found: dict[str, Any] = {}
    faults = []
    for name, values in (*texts.lists(), *files.lists()):
        if len(values) > 1 or name in found:
            faults.append(FieldError(name, "given_twice"))
        found[name] = values[0] if isinstance(values[0], str) else values[0].read()
    if faults:
        raise errors.Invalid(*faults)
    return found
