"""One round of the watch, every 45 seconds: rehearse, reconcile, and call out when all is well."""

import logging

from django.conf import settings

from deploy import heartbeat
from scoring.actions import reconciling, rehearsal
from yards import clock
from yards.actions import pulses
from yards.queries import pulses as signs

logger = logging.getLogger(__name__)


def watch() -> bool:
    """Do a round; return whether all is well and was called out (or there is nobody to call).

    What fails leaves no sign of life, and is what the next look at the signs then tells of.
    """
    now = clock.now()
    try:
        rehearsal.rehearse(now=now)
        pulses.seen(pulses.REHEARSAL, now=now, said={})
    except Exception:
        logger.exception("the rehearsed reading did not come to an alert")
    try:
        found = reconciling.reconcile(now=now)
        pulses.seen(pulses.RECONCILER, now=now, said=found.counts())
    except Exception:
        logger.exception("what was left behind could not be looked for")
    wrong = signs.troubles()
    for trouble in wrong:
        logger.error("silent or left behind: %s", trouble)
    if wrong:
        return False
    return heartbeat.call(settings.HEARTBEAT_URL) or not settings.HEARTBEAT_URL
