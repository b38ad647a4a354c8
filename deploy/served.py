"""What a static file says of itself beside its bytes."""

from wsgiref.headers import Headers

from django.conf import settings


def headers(told: Headers, path: str, url: str) -> None:
    """Have the browser take a file for what we say it is; what else a page says is lost on it."""
    told["X-Content-Type-Options"] = "nosniff"
    if seconds := settings.SECURE_HSTS_SECONDS:
        told["Strict-Transport-Security"] = f"max-age={seconds}"
