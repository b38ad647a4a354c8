"""What is broken: each fault is done, held as long as it lasts, and mended before it returns."""

import contextlib
import os
import random
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import psycopg
import redis

from tests.faults import receiver as mail
from tests.faults.receiver import Receiver
from tests.faults.site import Site, processes_of

HOUR = 3600


@dataclass(frozen=True)
class Scene:
    """What a fault may lay hands on."""

    site: Site
    receiver: Receiver
    rng: random.Random

    def wait(self, least: float, most: float) -> None:
        """Wait for a while that the seed says."""
        time.sleep(self.rng.uniform(least, most))


def web(scene: Scene) -> None:
    scene.site.kill_part("web")
    scene.wait(0, 0.3)
    scene.site.start_part("web")


def web_process(scene: Scene) -> None:
    scene.site.kill_process_of("web", scene.rng)


def worker(scene: Scene) -> None:
    scene.site.kill_part("worker")
    scene.wait(0, 0.3)
    scene.site.start_part("worker")


def worker_process(scene: Scene) -> None:
    scene.site.kill_process_of("worker", scene.rng)


def beat(scene: Scene) -> None:
    scene.site.kill_part("beat")
    scene.wait(0, 0.3)
    scene.site.start_part("beat")


def broker(scene: Scene) -> None:
    scene.site.kill_broker()
    scene.wait(0, 0.5)
    scene.site.start_broker()


def worker_and_broker(scene: Scene) -> None:
    """As when a machine goes down: what was queued and what was held are both gone."""
    scene.site.kill_part("worker")
    scene.wait(0.8, 1.6)
    scene.site.kill_broker()
    scene.site.start_broker()
    scene.site.start_part("worker")


def database_back_end(scene: Scene) -> None:
    """PostgreSQL ends all sessions and recovers by itself when one of its processes is killed."""
    with scene.site.above() as above:
        found = above.execute(
            "SELECT pid FROM pg_stat_activity WHERE usename = 'halfpoint_web' ORDER BY pid"
        ).fetchall()
    # The server's own numbers are those of its children, whatever namespace it is in.
    made = processes_of(scene.site.up.children["postgres"].process.pid)
    here = [pid for (pid,) in found if pid in made] or made
    with contextlib.suppress(ProcessLookupError):
        os.kill(scene.rng.choice(here), signal.SIGKILL)
    time.sleep(0.2)
    scene.site.above().close()


def postmaster(scene: Scene) -> None:
    scene.site.kill_postgres(whole=False)
    scene.wait(0, 0.3)
    scene.site.start_postgres()


def database_whole(scene: Scene) -> None:
    scene.site.kill_postgres(whole=True)
    scene.wait(0, 0.3)
    scene.site.start_postgres()


def broker_flushed(scene: Scene) -> None:
    with contextlib.closing(_broker(scene)) as client:
        client.flushall()


def broker_down(scene: Scene) -> None:
    scene.site.kill_broker()
    scene.wait(3, 5)
    scene.site.start_broker()


def broker_slow(scene: Scene) -> None:
    """It takes calls and says nothing for a while."""
    pid = scene.site.up.children["valkey"].process.pid
    os.kill(pid, signal.SIGSTOP)
    try:
        scene.wait(3, 5)
    finally:
        os.kill(pid, signal.SIGCONT)


def _mood(mood: str, least: float, most: float) -> Callable[[Scene], None]:
    def held(scene: Scene) -> None:
        scene.receiver.mood = mood
        scene.wait(least, most)
        scene.receiver.mood = mail.TAKES

    return held


def mail_away(scene: Scene) -> None:
    scene.receiver.close()
    scene.wait(2, 4)
    scene.receiver.open()


def _clock(seconds: int) -> Callable[[Scene], None]:
    """The worker's clock is off for some seconds, then it is set right."""

    def held(scene: Scene) -> None:
        scene.site.kill_part("worker")
        scene.site.start_part("worker", HALFPOINT_CLOCK_OFFSET=str(seconds))
        scene.wait(5, 7)
        scene.site.kill_part("worker")
        scene.site.start_part("worker")

    return held


def locked(scene: Scene) -> None:
    """Somebody holds the tables for longer than the service waits for a lock."""
    with scene.site.above() as above, above.transaction():
        above.execute("SET LOCAL lock_timeout = '3s'")
        with contextlib.suppress(psycopg.errors.LockNotAvailable):
            above.execute("LOCK TABLE scoring_assessment, scoring_notice IN ACCESS EXCLUSIVE MODE")
            time.sleep(6)


def no_connections(scene: Scene) -> None:
    """Others hold every connection that the server gives."""
    with contextlib.ExitStack() as held:
        first = held.enter_context(scene.site.above())
        limit = int((first.execute("SHOW max_connections").fetchone() or [0])[0])
        first.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
            " WHERE usename LIKE 'halfpoint%' AND pid <> pg_backend_pid()"
        )
        for _ in range(limit):
            try:
                held.enter_context(psycopg.connect(first.info.dsn, password=first.info.password))
            except psycopg.OperationalError:
                break
        scene.wait(2, 3)


def disk_full(scene: Scene) -> None:
    """Not a byte is left where the database, its log and the house's files are."""
    ballast = Path(scene.site.up.folder) / "ballast"
    try:
        with ballast.open("wb", buffering=0) as file, contextlib.suppress(OSError):
            for size in (2**20, 2**12):
                with contextlib.suppress(OSError):
                    while True:
                        file.write(b"\0" * size)
        scene.wait(3, 4)
    finally:
        ballast.unlink(missing_ok=True)
    if not scene.site.up.children["postgres"].alive():
        scene.site.start_postgres()  # a server whose log has no room ends itself


def _beside(*names: str) -> Callable[[Scene], None]:
    def held(scene: Scene) -> None:
        children = [scene.site.start_extra(name) for name in names]
        scene.wait(6, 8)
        for child in children:
            child.kill()

    return held


def _broker(scene: Scene) -> "redis.Redis":
    return redis.Redis.from_url(scene.site.up.environ["REDIS_URL"], socket_timeout=5)


Fault = Callable[[Scene], None]
# How often in ten kills.
KILLS: dict[str, tuple[Fault, int]] = {
    "web": (web, 1),
    "web process": (web_process, 2),
    "worker": (worker, 1),
    "worker process": (worker_process, 1),
    "beat": (beat, 1),
    "broker": (broker, 1),
    "database back end": (database_back_end, 1),
    "postmaster": (postmaster, 1),
    "database, all of it": (database_whole, 1),
}
OTHERS: dict[str, Fault] = {
    "worker and broker": worker_and_broker,
    "broker flushed": broker_flushed,
    "broker down": broker_down,
    "broker slow": broker_slow,
    "mail refuses": _mood(mail.REFUSES, 2, 4),
    "mail hangs 60 s": _mood(mail.HANGS, 1, 2),
    "mail takes, then drops": _mood(mail.DROPS, 2, 3),
    "mail away": mail_away,
    "worker an hour ahead": _clock(HOUR),
    "worker an hour behind": _clock(-HOUR),
    "tables locked": locked,
    "no connections left": no_connections,
    "disk full": disk_full,
    "two beats": _beside("beat2"),
    "five workers": _beside("worker2", "worker3", "worker4", "worker5"),
}
FAULTS: dict[str, Fault] = {name: fault for name, (fault, _) in KILLS.items()} | OTHERS
