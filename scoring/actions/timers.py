"""Runs what is due. Any number of schedulers may: each timer's work and its end are one commit.

A timer that fails is pushed on and tried again; it never holds up the others.
"""

import logging
from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import F

from scoring.actions import escalation, fitting, sweep, timer_rows
from scoring.models import Timer
from yards import isolation
from yards.rules.roles import Role, Viewer

logger = logging.getLogger(__name__)

FIRST_WAIT = timedelta(seconds=5)
LONGEST_WAIT = timedelta(minutes=15)
COUNTED = 30_000  # attempts are a small integer

Work = Callable[[Viewer, Timer, datetime], None]
WORK: Mapping[str, Work] = {
    timer_rows.ESCALATE: escalation.escalate,
    timer_rows.FOLLOW_UP: escalation.follow_up,
    timer_rows.SNOOZE_END: escalation.snooze_end,
    timer_rows.SWEEP: sweep.run,
    timer_rows.FIT: fitting.run,
    timer_rows.REFIT: fitting.refit,
}


def run_due(*, now: datetime, limit: int = 100, ends: tuple[type[Exception], ...] = ()) -> int:
    """Do what is due by ``now``, oldest first, and return how many timers were done.

    ``ends`` are the exceptions that end the whole run: the task's time is up.
    """
    return sum(
        _ran(organisation, row, now, ends)
        for organisation, row in isolation.due("scoring_timer", now, limit)
    )


def _ran(organisation: UUID, row: int, now: datetime, ends: tuple[type[Exception], ...]) -> bool:
    system = Viewer(organisation=organisation, role=Role.SYSTEM, via="task")
    try:
        with isolation.of(system):
            timer = Timer.objects.select_related("alert__horse").filter(id=row, due_at__lte=now)
            found = timer.first()
            if found is None:
                return False
            WORK[found.kind](system, found, now)
            return True
    except Exception as error:
        logger.exception("a timer failed and is put off")
        _put_off(system, row, now)
        if isinstance(error, ends):
            raise
        return False


def _put_off(system: Viewer, row: int, now: datetime) -> None:
    """Push a failed timer on, doubling the wait; if even that fails, it is simply still due."""
    try:
        with isolation.of(system):
            mine = Timer.objects.select_for_update(skip_locked=True).filter(id=row, due_at__lte=now)
            for timer in mine:
                wait = min(FIRST_WAIT * (1 << min(timer.attempts, 20)), LONGEST_WAIT)
                counted = F("attempts") + (1 if timer.attempts < COUNTED else 0)
                Timer.objects.filter(id=row).update(due_at=now + wait, attempts=counted)
    except Exception:
        logger.exception("a failed timer could not be put off")
