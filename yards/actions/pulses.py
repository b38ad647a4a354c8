"""Leaves signs of life. Belongs to no organisation, so it needs none open, and opens none."""

import time
from collections.abc import Mapping
from datetime import datetime

from django.db import connection

from yards.rules import silence

BEAT, WORKER, MAIL = silence.BEAT, silence.WORKER, silence.MAIL
REHEARSAL, RECONCILER = silence.REHEARSAL, silence.RECONCILER
EVERY_S = 10.0  # a part that works each second need not write each second
_written: dict[str, float] = {}

_SEEN = """
INSERT INTO yards_pulse (name, at, said)
VALUES (%s, clock_timestamp(), %s::jsonb || jsonb_build_object(
    'ahead_s', round(extract(epoch FROM %s - clock_timestamp())::numeric, 1)))
ON CONFLICT (name) DO UPDATE SET at = excluded.at, said = excluded.said
"""


def seen(name: str, *, now: datetime, said: Mapping[str, int] | None = None) -> None:
    """Note that a part was at work just now, at most every ten seconds unless it has to say more.

    ``now`` is what the part's own clock shows: how far it is off is kept too.
    """
    mark = time.monotonic()
    if said is None and mark - _written.get(name, -EVERY_S) < EVERY_S:
        return
    words = ", ".join(f'"{key}": {int(value)}' for key, value in (said or {}).items())
    with connection.cursor() as cursor:
        cursor.execute(_SEEN, [name, f"{{{words}}}", now])
    _written[name] = mark
