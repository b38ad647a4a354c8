"""Any path that is not in the contract: not found, as an id is that nobody has."""

from collections.abc import Mapping
from uuid import UUID

from django.http import HttpRequest
from rest_framework.response import Response

from api.base import ApiView
from yards import clock
from yards.rules import errors
from yards.rules.roles import Verb


class UnknownPath(ApiView):
    """Answers every method alike."""

    verb = Verb.READ_SELF
    schema = None  # type: ignore[assignment]  # how REST framework leaves a view out

    def _answered(self, request: HttpRequest, path: Mapping[str, UUID]) -> Response:
        self.now = clock.now()
        self._recognise(request)
        raise errors.NotFound
