"""The one way through the door: every view of the REST surface is an ``ApiView``.

Each request meets the same questions in the same order: who are you (401), have you asked too often
(429), is there such a thing for you (404), may you (403), is it short enough (413), can it be read
(415, 400). Only then does a view make its one call of an action or a query, inside the
organisation's transaction. What a view returns is plain data by then; it is written out after the
commit, and a refusal rolls back.
"""

from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from datetime import datetime
from typing import Any, ClassVar
from uuid import UUID

from django.conf import settings
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from rest_framework import exceptions
from rest_framework.negotiation import BaseContentNegotiation
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.views import APIView

from api import authentication, body, throttles
from api import errors as answers
from api.schema.inspector import Inspector
from yards import clock, isolation
from yards.access import doors
from yards.actions import reading_room
from yards.rules import errors
from yards.rules.roles import ASKED_AGAIN, Verb, Viewer, may

METHODS = ("get", "post", "patch")
Finder = Callable[[Viewer, UUID], object]
_READING = 500


class AlwaysJson(BaseContentNegotiation):
    """There is one form, whatever the client would rather have (RFC 9110, 12.4.1)."""

    def select_parser(self, request: Request, parsers: Any) -> None:
        """Bodies are read by ``api.body``, never by a parser."""

    def select_renderer(
        self, request: Request, renderers: Any, format_suffix: str | None = None
    ) -> tuple[BaseRenderer, str]:
        """Return the only renderer."""
        return renderers[0], renderers[0].media_type


class ApiView(APIView):
    """Base of every view. ``verb`` is required: one for all methods, or one for each.

    ``finder`` is the door that finds what the path's ``id`` names, or raises NotFound; ``kind``
    names it in an auditor's entry.
    """

    verb: ClassVar[Verb | Mapping[str, Verb]]
    finder: ClassVar[Finder | None] = None
    kind: ClassVar[str] = "list"
    max_body: ClassVar[str] = "API_MAX_BODY"

    http_method_names = [*METHODS, "head"]
    metadata_class = None
    content_negotiation_class = AlwaysJson
    throttle_classes = [throttles.OfViewer, throttles.OfAddress]
    schema = Inspector()

    asked: HttpRequest
    viewer: Viewer
    now: datetime
    raw: Mapping[str, Any]

    def __init_subclass__(cls, **kwargs: Any) -> None:
        """Fail at import for a class that does not say which verb each of its methods is."""
        super().__init_subclass__(**kwargs)
        verb = getattr(cls, "verb", None)
        for method in (each for each in METHODS if hasattr(cls, each)):
            named = verb.get(method) if isinstance(verb, Mapping) else verb
            if not isinstance(named, Verb):
                raise TypeError(f"{cls.__name__}.{method} names no verb")

    def dispatch(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        """Answer, or refuse in the one shape."""
        self.args, self.kwargs, self.asked = args, kwargs, request
        self.headers = {**self.default_response_headers, "Cache-Control": "no-store"}
        self.request = self.initialize_request(request, *args, **kwargs)
        try:
            response = self._answered(request, kwargs)
        except Exception as error:
            response = answers.response(error, request)
        # Bytes are answered as they are, which the library knows and its stubs do not.
        response = self.finalize_response(self.request, response, *args, **kwargs)  # type: ignore[arg-type]
        self.response = response
        return response

    def read(self, request: HttpRequest, limit: int) -> Mapping[str, Any]:
        """Return the body that was sent: JSON, unless a view takes another form."""
        return body.read(request, limit)

    def _answered(self, request: HttpRequest, path: Mapping[str, UUID]) -> HttpResponseBase:
        self.now = clock.now()
        self._recognise(request)
        method = (request.method or "").lower()
        handler = getattr(self, method, None) if method in self.http_method_names else None
        if handler is None:
            raise exceptions.MethodNotAllowed(request.method or "")
        safe = request.method in authentication.SAFE
        with self._opened(request, path, safe):
            self._admit(self._verb_of(method), path, safe)
            if not safe:
                limit: int = getattr(settings, self.max_body)
                self.raw = self.read(request, limit)
            answer: HttpResponseBase = handler(self.request, **path)
            isolation.whole(answer)
        return answer

    def _recognise(self, request: HttpRequest) -> None:
        """Find out who asks, then whether they ask too often; nobody is counted by address."""
        try:
            self.viewer = authentication.viewer_of(request, self.now)
        except errors.Refused:
            self.check_throttles(self.request)
            raise
        self.check_throttles(self.request)

    def _opened(
        self, request: HttpRequest, path: Mapping[str, UUID], safe: bool
    ) -> AbstractContextManager[None]:
        if not safe:
            return isolation.of(self.viewer)
        reading = request.resolver_match.view_name if request.resolver_match else request.path
        asked = request.GET.urlencode()
        return reading_room.opened(
            self.viewer,
            reading=f"{reading}?{asked}"[:_READING] if asked else reading,
            target=(self.kind, path.get("id")),
            at=self.now,
        )

    def _verb_of(self, method: str) -> Verb:
        if isinstance(self.verb, Mapping):
            return self.verb["get" if method == "head" else method]
        return self.verb

    def _admit(self, verb: Verb, path: Mapping[str, UUID], safe: bool) -> None:
        """Find what the path names, then ask whether the viewer may.

        A read that is allowed finds it again by itself, so it is not looked up twice.
        """
        if not (safe and may(self.viewer, verb)):
            find = type(self).finder
            if find is not None:
                find(self.viewer, path["id"])
        doors.require(self.viewer, verb)
        if not safe and verb in ASKED_AGAIN:
            authentication.require_sure(self.asked, self.viewer)
