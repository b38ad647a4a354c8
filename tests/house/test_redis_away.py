"""Redis is a hint: away, slow or hung, it costs a log line and a second, never an error."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from deploy.launch import servers
from deploy.launch.programs import BASE

# In a process of its own, since both pauses after a failure are kept for the whole process.
ASK = """
import time, django
django.setup()
from django.core.cache import cache
from deploy import celery
def timed(what, do):
    began = time.monotonic()
    print(what, do(), time.monotonic() - began < 3)
timed("cache", lambda: (cache.get("a", 5), cache.add("b", 1), cache.incr("c"), cache.set("a", 1)))
timed("wake", celery.wake)
"""


@pytest.fixture
def up(tmp_path: Path) -> Iterator[servers.Servers]:
    with servers.running(tmp_path / "data", safe=False) as running:
        yield running


def ask(up: servers.Servers) -> list[str]:
    """Use the cache and send the hint, each timed."""
    ran = subprocess.run(
        [sys.executable, "-c", ASK],
        cwd=BASE,
        env={**os.environ, **up.environ, "DJANGO_SETTINGS_MODULE": "deploy.settings"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert "cache unreachable" in ran.stderr
    assert "no wake-up sent" in ran.stderr
    return ran.stdout.splitlines()


AWAY = ["cache (5, True, 1, None) True", "wake None True"]


def test_a_redis_that_is_gone(up: servers.Servers) -> None:
    up.children["valkey"].kill()
    assert ask(up) == AWAY


def test_a_redis_that_hangs(up: servers.Servers) -> None:
    hung = up.children["valkey"].process
    hung.send_signal(signal.SIGSTOP)
    time.sleep(0.1)
    try:
        assert ask(up) == AWAY
    finally:
        hung.send_signal(signal.SIGCONT)
