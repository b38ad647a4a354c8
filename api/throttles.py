"""How often one may ask: so many requests a minute, a batch being one request.

REST framework's own sliding window, kept in Django's cache. With Redis away the cache answers that
nothing was counted (``deploy.cache``, which logs it), so that no reading is lost for a counter's
sake. Two requests at the very same moment may be counted as one; the limit is a brake, not a lock.
"""

from typing import ClassVar

from django.conf import settings
from rest_framework.request import Request
from rest_framework.throttling import SimpleRateThrottle
from rest_framework.views import APIView

from yards.rules.roles import Viewer


class _AMinute(SimpleRateThrottle):
    """A window of one minute; ``allowed`` names its setting, 0 of which is no limit."""

    allowed: ClassVar[str]

    def get_rate(self) -> str | None:
        """Return the rate in upstream's words."""
        most: int = getattr(settings, self.allowed)
        return f"{most}/min" if most else None

    def wait(self) -> float:
        """Return the seconds until one more may come; never None, so that Retry-After is told."""
        return super().wait() or 60.0


class OfViewer(_AMinute):
    """By token, and for a session by person."""

    scope = "viewer"
    allowed = "API_RATE"

    def get_cache_key(self, request: Request, view: APIView) -> str | None:
        """Return the counter of whoever asks; None for nobody."""
        viewer: Viewer | None = getattr(view, "viewer", None)
        if viewer is None:
            return None
        return self.cache_format % {"scope": self.scope, "ident": viewer.token or viewer.person}


class OfAddress(_AMinute):
    """By address, for whoever was not let in, so that tokens are not guessed at leisure."""

    scope = "address"
    allowed = "API_RATE_ANONYMOUS"

    def get_cache_key(self, request: Request, view: APIView) -> str | None:
        """Return the counter of the address; None for a viewer."""
        if getattr(view, "viewer", None) is not None:
            return None
        return self.cache_format % {"scope": self.scope, "ident": self.get_ident(request)}
