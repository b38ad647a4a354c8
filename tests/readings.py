"""Raw readings for tests, as a client would send them."""

from datetime import datetime
from typing import Any

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
