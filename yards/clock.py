"""The one clock. Only the edges read it, once a request or task, and pass ``now`` on."""

from datetime import datetime, timedelta

from django.conf import settings
from django.utils import timezone


def now() -> datetime:
    """Return the present instant, moved by CLOCK_OFFSET seconds where a test asks for it."""
    return timezone.now() + timedelta(seconds=settings.CLOCK_OFFSET)
