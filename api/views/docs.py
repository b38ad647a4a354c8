"""The contract, for programs and for people."""

from typing import Any

from csp.decorators import csp_update
from django.utils.decorators import method_decorator
from drf_spectacular.settings import patched_settings
from drf_spectacular.utils import extend_schema
from drf_spectacular.views import SpectacularJSONAPIView, SpectacularSwaggerSplitView
from rest_framework.request import Request
from rest_framework.response import Response

from api import errors as answers
from api import throttles
from api.base import AlwaysJson
from api.schema import document


class SchemaView(SpectacularJSONAPIView):
    """OpenAPI 3.1, as JSON."""

    content_negotiation_class = AlwaysJson
    custom_settings = document.SETTINGS
    throttle_classes = [throttles.OfAddress]  # open to anybody, and slow to make

    def handle_exception(self, exc: Exception) -> Response:
        """Refuse in the one shape."""
        return answers.response(exc, self.request._request)  # noqa: SLF001 - Django's own request


@method_decorator(csp_update({"style-src": ["'unsafe-inline'"]}), name="dispatch")
class DocsView(SpectacularSwaggerSplitView):
    """The readable docs. Everything they load is ours; their styles are the only ones inline."""

    url_name = "api_schema"
    title = "Halfpoint: the REST contract"

    @extend_schema(exclude=True)
    def get(self, request: Request, *args: Any, **kwargs: Any) -> Response:
        """Return the page, or its script."""
        with patched_settings(document.SETTINGS):
            page: Response = super().get(request, *args, **kwargs)  # type: ignore[no-untyped-call]
        return page
