"""Calls out that all is well, to an address that only the operator's setting names.

Whoever listens there alarms when the call stays away: it is the one sign of life that is seen when
this whole machine is gone. Nothing is told in the call, no redirect is followed, no answer is used.
"""

import logging
import urllib.error
import urllib.request
from typing import Any

logger = logging.getLogger(__name__)

PATIENCE_S = 5.0


class _Stay(urllib.request.HTTPRedirectHandler):
    """An answer that sends us elsewhere is an answer."""

    def redirect_request(self, *_facts: Any) -> None:
        """Go nowhere."""


_opener = urllib.request.build_opener(_Stay)


def call(url: str) -> bool:
    """Call, and say whether an answer of success came; never raises, never waits long."""
    if not url:
        return False
    asked = urllib.request.Request(url, headers={"User-Agent": "Halfpoint"})  # noqa: S310 - checked by env.outward
    try:
        with _opener.open(asked, timeout=PATIENCE_S) as answer:
            return bool(200 <= answer.status < 300)
    except (OSError, ValueError) as error:
        # The address may hold a secret: it is not logged.
        logger.warning("the heartbeat was not taken: %s", type(error).__name__)
        return False
