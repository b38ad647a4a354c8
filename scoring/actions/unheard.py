"""A message that its reader may not have any more: nobody may be left untold for that."""

from datetime import datetime

from scoring.actions import notices, timer_rows
from scoring.models import Alert, Notice, Timer
from scoring.rules import ladder
from yards import isolation
from yards.rules.roles import Viewer

TOLD = (notices.PENDING, notices.ATTEMPTING, notices.SENT)


def look(viewer: Viewer, notice: int, *, now: datetime) -> int:
    """Let the next step of open alerts be due now, where this was the only message of their step.

    Returns how many were brought forward. A grant that ended, or a person who was disabled, between
    writing and sending is what leads here.
    """
    isolation.required(viewer)
    gone = Notice.objects.get(id=notice)
    refs = gone.params.get("alerts") or []
    if gone.kind == notices.REMINDER or not refs:
        return 0
    forward = 0
    for alert in Alert.objects.filter(ref__in=refs, state=ladder.OPEN):
        others = Notice.objects.filter(
            created_at=gone.created_at,
            state__in=TOLD,
            params__contains={"alerts": [str(alert.ref)]},
        )
        if not others.exclude(id=gone.id).exists():
            forward += Timer.objects.filter(
                alert_id=alert.id, kind=timer_rows.ESCALATE, due_at__gt=now
            ).update(due_at=now)
    return forward
