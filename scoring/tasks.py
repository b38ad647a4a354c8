"""What Celery runs: each task reads the clock and makes one call."""

from celery import shared_task
from celery.exceptions import SoftTimeLimitExceeded

from scoring.actions import deliver, timers
from yards import clock
from yards.actions import emptying, letters, pulses


@shared_task(ignore_result=True)
def deliver_notices() -> None:
    """Send what waits in the outbox, and letters about signing in; empty accounts of nobody.

    That the mail server took something is a sign of life.
    """
    pulses.seen(pulses.WORKER, now=clock.now())
    taken = deliver.deliver_due(now=clock.now(), ends=(SoftTimeLimitExceeded,))
    if taken + letters.deliver_due(now=clock.now(), ends=(SoftTimeLimitExceeded,)):
        pulses.seen(pulses.MAIL, now=clock.now())
    emptying.settle_due(now=clock.now())


@shared_task(ignore_result=True)
def run_timers() -> None:
    """Do what is due: escalations, follow-ups, ends of snoozes, sweeps."""
    pulses.seen(pulses.WORKER, now=clock.now())
    timers.run_due(now=clock.now(), ends=(SoftTimeLimitExceeded,))
