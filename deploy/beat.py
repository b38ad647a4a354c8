"""Beat, leaving a sign of life whenever it has handed a tick to the broker."""

import logging
from typing import Any

import django
from celery.beat import PersistentScheduler
from django.apps import apps

logger = logging.getLogger(__name__)


class SeenScheduler(PersistentScheduler):  # type: ignore[misc]
    """The usual scheduler; what it could hand over is noted, what it could not is silence."""

    def apply_async(self, *args: Any, **options: Any) -> Any:
        """Hand over one tick."""
        sent = super().apply_async(*args, **options)
        _seen()
        return sent


def _seen() -> None:
    """Leave the sign; a database that is away must not keep beat from ticking."""
    if not apps.ready:
        django.setup()
    from django.db import DatabaseError, connection

    from yards import clock
    from yards.actions import pulses

    try:
        pulses.seen(pulses.BEAT, now=clock.now())
    except DatabaseError as error:
        logger.warning("no sign of life left: %s", type(error).__name__)
        connection.close()
