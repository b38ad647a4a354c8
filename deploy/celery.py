"""The Celery app, its own two signals, and the wake-up hint that actions send after a commit.

Run as ``celery -A deploy.celery worker`` and ``celery -A deploy.celery beat``.
"""

import logging
import os
import time
from typing import Any

import celery
from celery import signals
from kombu.exceptions import KombuError, OperationalError
from kombu.transport.redis import Channel
from redis.exceptions import RedisError

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "deploy.settings")
# Whoever starts again after a crash is in a hurry. Django's checks, for which every page and view
# is loaded, take half of a start; ``migrate`` runs them before the parts are started.
os.environ.setdefault("CELERY_SKIP_CHECKS", "1")

logger = logging.getLogger(__name__)

# When the connection is lost, messages taken and not acknowledged would be given back over the very
# connection that was closed, and the worker would end itself over that. The next tick asks again.
Channel.do_restore = False

app = celery.Celery("halfpoint")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()

PAUSE = 5.0  # seconds without another try after a failed hint; beat asks every second anyway
_resume = 0.0


def wake() -> None:
    """Hint that notices wait. Never raises, never waits long: the rows are the truth, not this."""
    global _resume  # noqa: PLW0603 - one process, one mood
    if time.monotonic() < _resume:
        return
    options = {"socket_timeout": 1, "socket_connect_timeout": 1, "max_retries": 1}
    options |= {"interval_start": 0, "interval_step": 0}
    try:
        with app.connection_for_write(transport_options=options, connect_timeout=1) as connection:
            app.send_task(
                "scoring.tasks.deliver_notices", connection=connection, retry=False, expires=5
            )
    except (KombuError, OperationalError, RedisError, OSError) as error:
        _resume = time.monotonic() + PAUSE
        logger.warning("no wake-up sent, the next tick will do: %s", type(error).__name__)


def hook() -> None:
    """Have this process send the hint; called once Django's apps are loaded."""
    from scoring.actions import notices

    if wake not in notices.wakers:
        notices.wakers.append(wake)


@app.task(name="deploy.celery.beat_seen")
def beat_seen() -> None:
    """Note that beat ticked and a worker took it; ``/healthz/ready`` tells how long ago."""
    from django.core.cache import cache

    from deploy import health
    from yards import clock
    from yards.actions import pulses

    cache.set(health.BEAT_KEY, time.time(), timeout=24 * 3600)
    pulses.seen(pulses.WORKER, now=clock.now())


@app.task(name="deploy.celery.watch")
def watch() -> None:
    """Rehearse an alert, look for what was left behind, and call out when all is well."""
    from deploy import watching

    watching.watch()


@signals.worker_init.connect
def _gate(**_facts: Any) -> None:
    """Refuse to work unless the database keeps organisations apart.

    A signal's sender swallows every Exception, and the worker would serve on: SystemExit is none.
    """
    from django.conf import settings
    from django.db import connections
    from django.template import engines

    from yards.isolation import catalog

    hook()
    engines.all()  # load what templates need once, not at the first letter of each process
    try:
        catalog.gate(settings.TABLE_CLASSES)
    except Exception as error:
        logger.critical("the worker refuses to start: %s", error)
        raise SystemExit(1) from error
    connections.close_all()  # the pool's processes must not inherit an open connection


@signals.setup_logging.connect
def _logging(**_facts: Any) -> None:
    """Keep Django's JSON lines: with a receiver here Celery leaves logging alone."""
