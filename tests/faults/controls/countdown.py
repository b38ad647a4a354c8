"""The next rung is a task with a countdown, as many alert systems have it.

The countdown is short, so that a run sees its end: whatever the queue keeps is done in time.
"""

import contextlib
from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from celery import current_app, shared_task

from scoring.actions import reconciling, timer_rows
from scoring.models import Alert
from yards import clock, isolation
from yards.rules.roles import Role, Viewer

TASK = "tests.faults.controls.countdown.take_rung"
SECONDS = 20


@shared_task(name=TASK, ignore_result=True)  # type: ignore[untyped-decorator]
def take_rung(organisation: str, alert: int, about: list[str]) -> None:
    """The countdown is over."""
    now = clock.now()
    system = Viewer(organisation=UUID(organisation), role=Role.SYSTEM, via="task")
    due = timer_rows.Planned(timer_rows.ESCALATE, now, tuple(about), alert=alert)
    with isolation.of(system):
        _plan(system, [due], now=now)


_plan = timer_rows.plan


def breaks() -> None:
    """Let ``timer_rows.plan`` leave no row for a rung."""

    def plan(viewer: Viewer, planned: Iterable[timer_rows.Planned], *, now: datetime) -> None:
        every = list(planned)
        _plan(viewer, [each for each in every if each.kind != timer_rows.ESCALATE], now=now)
        for each in every:
            if each.kind == timer_rows.ESCALATE:
                args = [str(viewer.organisation), each.alert, list(each.about)]
                with contextlib.suppress(Exception):
                    current_app.send_task(TASK, args=args, countdown=SECONDS, retry=False)

    def found_none(system: Viewer, now: datetime) -> list[Alert]:
        return []

    timer_rows.plan = plan
    # Without the reconciler too, which would find the alert that waits with no next step.
    reconciling._stranded = found_none
