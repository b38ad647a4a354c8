"""Says on every page when alerts may not be going out.

A thread of each web process asks now and then, so that no page costs a query more for it.
"""

import logging
import time
from threading import Thread
from typing import Any

from django.conf import settings
from django.db import DatabaseError, connection
from django.http import HttpRequest
from django.utils.translation import gettext as _

from yards.queries import pulses
from yards.rules import silence

logger = logging.getLogger(__name__)

EVERY_S = 5.0
GRACE_S = 120.0  # after our own start the others may still be on their way


class _Known:
    """What is wrong, as last asked by this process."""

    troubles: tuple[silence.Trouble, ...] = ()


def context(_request: HttpRequest) -> dict[str, Any]:
    """Return ``silence``: a sentence for each thing that is wrong; usually none."""
    return {"silence": [said(each) for each in _Known.troubles]}


def refresh(*, grace: bool = False) -> None:
    """Ask what is wrong; ``grace`` passes over what was never seen, or not since we started."""
    found = pulses.troubles()
    _Known.troubles = () if grace else found


def begin() -> None:
    """Ask from now on, unless told not to; called once in each web process."""
    if not settings.WATCH_BANNER:
        return
    Thread(target=_ask, daemon=True, name="silence").start()


def _ask() -> None:
    began = time.monotonic()
    while True:
        try:
            refresh(grace=time.monotonic() - began < GRACE_S)
        except DatabaseError as error:
            logger.warning("the signs of life cannot be read: %s", type(error).__name__)
            connection.close()
        time.sleep(EVERY_S)


def said(trouble: silence.Trouble) -> str:
    """Return one thing that is wrong in words for everybody."""
    if trouble.what in (silence.BEAT, silence.WORKER):
        return _("Alerts may not be going out: the part that sends them is silent.")
    if trouble.what == silence.MAIL:
        return _("Alerts may not be arriving: the mail server takes nothing.")
    if trouble.what == silence.UNDELIVERED:
        return _("Messages that wait to be sent, or could not be: {n}.").format(n=trouble.count)
    if trouble.what == silence.CLOCK:
        return _("Alerts may come late or early: a clock of the service is wrong.")
    return _("Alerts may not be opening as they should: the service's own check fails.")
