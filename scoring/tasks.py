"""What Celery runs: each task reads the clock and makes one call."""

from celery import shared_task
from celery.exceptions import SoftTimeLimitExceeded

from scoring.actions import deliver, timers
from yards import clock


@shared_task(ignore_result=True)
def deliver_notices() -> None:
    """Send what waits in the outbox."""
    deliver.deliver_due(now=clock.now(), ends=(SoftTimeLimitExceeded,))


@shared_task(ignore_result=True)
def run_timers() -> None:
    """Do what is due: escalations, follow-ups, ends of snoozes, sweeps."""
    timers.run_due(now=clock.now(), ends=(SoftTimeLimitExceeded,))
