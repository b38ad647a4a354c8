"""What every answer of ours tells a browser beside what Django says of itself."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase

# Nothing here asks a browser for any of these: a photo comes from the form's own file field.
_UNUSED = (
    *("accelerometer", "camera", "display-capture", "geolocation", "gyroscope", "magnetometer"),
    *("microphone", "midi", "payment", "serial", "usb"),
)
PERMISSIONS = ", ".join(f"{name}=()" for name in _UNUSED)


class PoliciesMiddleware:
    """Deny pages the powers they do not use, and keep our answers out of other sites' pages."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer, with both policies."""
        response = self.get_response(request)
        response.headers.setdefault("Permissions-Policy", PERMISSIONS)
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        return response
