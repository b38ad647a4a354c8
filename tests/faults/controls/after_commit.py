"""Commit, then publish: the message is a task in the queue, and nowhere else."""

import contextlib
from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from celery import current_app, shared_task
from django.db import transaction

from scoring.actions import deliver, notices
from scoring.models import Notice
from yards import clock, isolation
from yards.rules.roles import Role, Viewer

TASK = "tests.faults.controls.after_commit.send"


@shared_task(name=TASK, ignore_result=True)  # type: ignore[untyped-decorator]
def send(organisation: str, keys: list[str]) -> None:
    """Send what the task names."""
    system = Viewer(organisation=UUID(organisation), role=Role.SYSTEM, via="task")
    now = clock.now()
    with isolation.of(system):
        Notice.objects.filter(key__in=keys, state=notices.PENDING).update(due_at=now)
    deliver.deliver_due(now=now)


def breaks() -> None:
    """Let ``notices.write`` leave no row that is due."""
    whole = notices.write

    def write(viewer: Viewer, messages: Iterable[notices.Message], *, now: datetime) -> None:
        every = list(messages)
        whole(viewer, every, now=now)
        keys = [message.key for message in every]
        Notice.objects.filter(key__in=keys).update(due_at=None)
        transaction.on_commit(lambda: publish([str(viewer.organisation), keys]))

    def publish(args: list[Any]) -> None:
        with contextlib.suppress(Exception):
            current_app.send_task(TASK, args=args, retry=False)

    notices.write = write
