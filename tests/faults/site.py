"""The service under attack: servers of its own, and every process of it to be killed and started.

The data folder lies on a small file system of its own where the machine lets us mount one, so that
its disk can be filled; the driver's own files lie elsewhere.
"""

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import psycopg

from deploy.launch import folder as folders
from deploy.launch import house, servers, valkey
from deploy.launch.child import Child, kill_group
from deploy.launch.mode import Mode
from deploy.launch.programs import BASE, PYTHON

DISK = "1g"
SETTINGS = "tests.faults.served.settings"
AWAY = 60.0  # seconds until something that was started must answer


@contextlib.contextmanager
def disk() -> Iterator[tuple[Path, bool]]:
    """Yield a folder, and whether it is a file system of its own that can be filled."""
    root = Path(tempfile.mkdtemp(prefix="halfpoint-faults-"))
    mounted = _succeeds("mount", "-t", "tmpfs", "-o", f"size={DISK},mode=0711", "faults", str(root))
    try:
        yield root / "data", mounted
    finally:
        if mounted:
            _succeeds("umount", str(root)) or _succeeds("umount", "-l", str(root))
        shutil.rmtree(root, ignore_errors=True)


def _succeeds(*argv: str) -> bool:
    try:
        return subprocess.run(argv, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def processes_of(pid: int) -> list[int]:
    """Return the direct children of a process."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError, ValueError):
            if int(stat.read_text().rpartition(")")[2].split()[1]) == pid:
                found.append(int(stat.parent.name))
    return sorted(found)


@dataclass
class Site:
    """Servers that stay for a run, and the house on them."""

    up: servers.Servers
    can_fill: bool
    home: house.House = field(init=False)
    database: str = "halfpoint"

    @property
    def sockets(self) -> Path:
        """Where the servers are reached."""
        return Path(folders.recall(self.up.folder)["sockets"])

    @property
    def port(self) -> int:
        """Where the web process is reached."""
        return int(self.home.door.getsockname()[1])

    @contextlib.contextmanager
    def housed(
        self, environ: dict[str, str], database: str, parts: Sequence[str] = house.PARTS
    ) -> Iterator[None]:
        """Run web, worker and beat with so much over the servers' own environment."""
        self.database = database
        door = house.open_door(0)
        url = f"http://127.0.0.1:{door.getsockname()[1]}"
        left_out = {"HALFPOINT_ROLE", "HALFPOINT_CONTROL", "HALFPOINT_CLOCK_OFFSET"}
        full = {key: value for key, value in os.environ.items() if key not in left_out}
        full |= {**self.up.environ, "SITE_URL": url, "HALFPOINT_TEST": "1", **environ}
        full |= {"DJANGO_SETTINGS_MODULE": SETTINGS, "LOG_LEVEL": "WARNING"}
        self.home = house.House(url, self.up.folder, full, Mode("direct"), door)
        try:
            for part in parts:
                self.home.start(part)
            self.home.wait()
            yield
        finally:
            for child in self.home.children.values():
                child.kill()
            door.close()

    def above(self) -> psycopg.Connection[Any]:
        """A connection of the superuser, whom no policy binds; waits for a server that restarts."""
        secret = folders.secrets_of(self.up.folder)["postgres"]
        until = time.monotonic() + AWAY
        while True:
            try:
                return psycopg.connect(
                    host=str(self.sockets),
                    user="postgres",
                    password=secret,
                    dbname=self.database,
                    autocommit=True,
                    connect_timeout=5,
                )
            except psycopg.OperationalError:
                if time.monotonic() > until:
                    raise
                time.sleep(0.1)

    def kill_process_of(self, part: str, rng: Any) -> bool:
        """Kill one of the processes that a part has made; say whether there was one."""
        made = processes_of(self.home.children[part].process.pid)
        if not made:
            return False
        with contextlib.suppress(ProcessLookupError):
            os.kill(rng.choice(made), signal.SIGKILL)
        return True

    def kill_part(self, part: str) -> None:
        """Kill a part with all that it made."""
        self.home.children[part].kill()

    def start_part(self, part: str, **environ: str) -> None:
        """Start a part; ``environ`` is for this one start."""
        before = self.home.environ
        self.home.environ = {**before, **environ}
        try:
            self.home.start(part)
        finally:
            self.home.environ = before

    def revive(self) -> list[str]:
        """Start again what ended by itself, as whoever supervises a service does; return which."""
        ended = [name for name, child in self.home.children.items() if not child.alive()]
        for name in ended:
            self.start_part(name)
        return ended

    def start_extra(self, name: str) -> Child:
        """Start one worker or beat more."""
        if name.startswith("worker"):
            made = ["celery", "-A", "deploy.celery", "worker", "--concurrency=1", "-n", f"{name}@x"]
            made += ["--without-gossip", "--without-mingle", "--without-heartbeat"]
        else:
            schedule = self.up.folder / "run" / name
            made = ["celery", "-A", "deploy.celery", "beat", "--pidfile="]
            made.append(f"--schedule={schedule}")
        return Child(
            name,
            [str(PYTHON), "-m", *made],
            folder=self.up.folder,
            environ=self.home.environ,
            mode=Mode("direct"),
            cwd=BASE,
        )

    def kill_postgres(self, *, whole: bool) -> None:
        """Kill the server's first process, or all of its processes at one blow."""
        pid = self.up.children["postgres"].process.pid
        if whole:
            kill_group(pid)
        else:
            os.kill(pid, signal.SIGKILL)

    def start_postgres(self) -> None:
        """Start the server on what is there, as often as it takes: its last processes end first."""
        old = self.up.children["postgres"]
        old.process.wait()
        until = time.monotonic() + AWAY
        while True:
            child = self._postgres_again(old)
            time.sleep(0.2)
            if child.alive():
                break
            if time.monotonic() > until:
                raise RuntimeError(f"PostgreSQL does not start again:\n{child.tail()}")
        self.up.children["postgres"] = child
        self.above().close()

    def _postgres_again(self, old: Child) -> Child:
        words = old.process.args
        argv = [str(each) for each in words] if isinstance(words, list) else [str(words)]
        # The words of a namespace are among them already.
        mode = Mode("direct") if self.up.mode.name == "namespace" else self.up.mode
        return Child(
            "postgres",
            argv,
            folder=self.up.folder,
            environ={**os.environ, "LC_ALL": "C"},
            mode=mode,
            cwd=Path("/"),
            stop_with=signal.SIGINT,
        )

    def keep_commit_times(self) -> None:
        """Have the server note when each transaction is committed, which takes a new start."""
        with self.above() as above:
            above.execute("ALTER SYSTEM SET track_commit_timestamp = on")
        self.up.children["postgres"].stop(30)
        self.start_postgres()

    def kill_broker(self) -> None:
        """Kill the broker, with all that it held."""
        self.up.children["valkey"].kill()

    def start_broker(self) -> None:
        """Start the broker, with nothing in it."""
        words = self.up.children["valkey"].process.args
        program = Path(str(words[-2])) if isinstance(words, list) else Path()
        password = folders.secrets_of(self.up.folder)["redis"]
        child = valkey.start(program, self.up.folder, self.sockets, self.up.mode, password)
        self.up.children["valkey"] = child
        valkey.wait(child, self.sockets, password)


@contextlib.contextmanager
def opened() -> Iterator[Site]:
    """Start PostgreSQL and the broker, as served in earnest, for as long as the block lasts."""
    with (
        disk() as (folder, can_fill),
        servers.running(
            folder, safe=True, createdb=True, own={"EMAIL_URL": "smtp://127.0.0.1:9"}
        ) as up,
    ):
        site = Site(up, can_fill)
        site.database = "postgres"
        site.keep_commit_times()
        yield site
