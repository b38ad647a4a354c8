"""Raw readings for tests, as a client would send them."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from tests import cast


def raw(horse: str, taken_at: datetime, *scores: str | None, **facts: Any) -> dict[str, Any]:
    """Return an assessment on ``five`` by three region scores, head to tail."""
    names = ("neck_and_shoulder", "back_and_ribs", "hindquarters")
    return {
        "horse": str(cast.ref(horse)),
        "taken_at": taken_at.isoformat(),
        "scale": "five",
        "manner": "palpated",
        "regions": dict(zip(names, scores, strict=True)),
        **facts,
    }


def day_here(at: datetime) -> str:
    """Return the day of the cast's yards, which late on a summer's evening is not UTC's."""
    found = at.astimezone(ZoneInfo("Europe/London"))
    return f"{found.day} {found:%b %Y}"
