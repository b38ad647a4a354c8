"""Break-glass: one person asks in need, another approves, and for an hour at most they may look."""

from dataclasses import dataclass
from datetime import timedelta

from yards.rules.fields import Reader
from yards.rules.grant import REASON_MOST

MOST = timedelta(hours=1)
# An ask that nobody approved within this time has to be made again.
WAITS = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class Asked:
    """Why somebody needs to look."""

    reason: str


def check(raw: object) -> Asked:
    """Return why, or raise Invalid: a reason is required."""
    reader = Reader(raw)
    reader.uuid("id")
    reason = reader.text("reason", most=REASON_MOST, required=True)
    reader.finish()
    return Asked(reason)
