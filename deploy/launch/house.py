"""Web, worker and beat, on servers that are already up.

>>> with house.serving(up.environ, folder) as home:
...     home.wait()                 # pages, API, worker and beat have all answered
...     home.children["worker"].kill(); home.start("worker")

``environ`` needs what ``servers.running`` gives; SITE_URL is set to the address served, which is
``home.url``. With ``port=0`` a free port is taken.
"""

import json
import os
import socket
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from deploy.launch.child import Child
from deploy.launch.mode import Mode
from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import Exit, Trouble

PARTS = ("web", "worker", "beat")
ANSWER = 180  # seconds until everything must have answered
ROUNDED = 0.1  # seconds by which a told age may be off
ASKED = ("/accounts/login/", "/api/schema/")


@dataclass
class House:
    """What runs and where it is reached."""

    url: str
    folder: Path
    environ: dict[str, str]
    mode: Mode
    door: socket.socket
    children: dict[str, Child] = field(default_factory=dict)
    began: float = 0.0

    def start(self, part: str) -> None:
        """Start one part; again, if it ended."""
        # Parts started under the same name share a log; the older one must be gone.
        if part in self.children:
            self.children[part].kill()
        self.began = time.monotonic()
        made = {"web": self._web, "worker": self._worker, "beat": self._beat}[part]()
        self.children[part] = Child(
            part,
            [str(PYTHON), "-m", *made],
            folder=self.folder,
            environ=self.environ,
            mode=self.mode,
            cwd=BASE,
            keep=[self.door.fileno()],
        )

    def _web(self) -> list[str]:
        return [
            "gunicorn",
            "deploy.wsgi:application",
            f"--bind=fd://{self.door.fileno()}",
            "--config=python:deploy.gunicorn_conf",
            f"--worker-tmp-dir={self.folder}",
        ]

    def _worker(self) -> list[str]:
        quiet = ["--without-gossip", "--without-mingle", "--without-heartbeat"]
        return ["celery", "-A", "deploy.celery", "worker", "--concurrency=2", *quiet]

    def _beat(self) -> list[str]:
        schedule = self.folder / "run" / "beat"
        return ["celery", "-A", "deploy.celery", "beat", "--pidfile=", f"--schedule={schedule}"]

    def dead(self) -> Child | None:
        """Return a part that ended by itself, if one did."""
        return next((child for child in self.children.values() if not child.alive()), None)

    def wait(self, seconds: float = ANSWER) -> None:
        """Return when pages, API, worker and beat have answered; raise Trouble if one does not."""
        until = time.monotonic() + seconds
        while True:
            self.require_alive()
            missing = self._missing()
            if not missing:
                return
            if time.monotonic() > until:
                raise Trouble(Exit.CHILD_DIED, f"No answer in {seconds:.0f} s: {missing}.")
            time.sleep(0.2)

    def require_alive(self) -> None:
        """Raise Trouble, with the end of its log, if a part ended by itself."""
        if child := self.dead():
            raise Trouble(
                Exit.CHILD_DIED,
                f"{child.name} ended by itself (code {child.process.returncode}); "
                f"the end of {child.log}:\n{child.tail()}",
            )

    def _missing(self) -> str:
        if "web" in self.children:
            status, body = fetch(self.url + "/healthz/ready")
            if status != 200:
                return f"/healthz/ready says {status or 'nothing'} {body[:200]}"
            if {"worker", "beat"} <= self.children.keys() and not self._ticked(json.loads(body)):
                return "no worker has taken a tick of beat"
            for path in ASKED:
                if fetch(self.url + path)[0] != 200:
                    return f"{path} says {fetch(self.url + path)[0] or 'nothing'}"
        return ""

    def _ticked(self, facts: dict[str, Any]) -> bool:
        """Whether a tick was taken since the last start; an older one is of an earlier house."""
        age: float | None = facts["beat_age_s"]
        return age is not None and age + ROUNDED < time.monotonic() - self.began

    def stop(self, seconds: float = 8) -> None:
        """Stop every part, all at once, within that time."""
        until = time.monotonic() + seconds
        for child in self.children.values():
            child.ask()
        for child in self.children.values():
            child.stop(until - time.monotonic())
        self.children.clear()


def fetch(url: str, seconds: float = 10) -> tuple[int, str]:
    """Return the status and body of a page of ours; status 0 when nothing answers."""
    try:
        with urllib.request.urlopen(url, timeout=seconds) as answer:  # noqa: S310 - our own http URL
            return answer.status, answer.read().decode(errors="replace")
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode(errors="replace")
    except OSError:
        return 0, ""


def open_door(port: int, host: str = "127.0.0.1") -> socket.socket:
    """Take the port now, so that it cannot be taken from us while we set up."""
    door = socket.socket(socket.AF_INET)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((host, port))
    except OSError as error:
        door.close()
        raise Trouble(
            Exit.PORT_TAKEN,
            f"Port {port} of {host} cannot be had: {os.strerror(error.errno or 0)}.\n"
            f"Name another: {sys.argv[0]} --port {port + 1 if port < 65535 else 8001}",
        ) from error
    return door


@contextmanager
def serving(
    environ: dict[str, str],
    folder: Path,
    *,
    port: int = 0,
    door: socket.socket | None = None,
    parts: Sequence[str] = PARTS,
    mode: Mode | None = None,
) -> Iterator[House]:
    """Start ``parts`` with ``environ`` over this process's own, and stop them at the end."""
    door = door or open_door(port)
    url = f"http://127.0.0.1:{door.getsockname()[1]}"
    full = {**os.environ, **environ, "SITE_URL": environ.get("SITE_URL") or url}
    full["DJANGO_SETTINGS_MODULE"] = "deploy.settings"
    full.pop("HALFPOINT_ROLE", None)
    home = House(url, folder, full, mode or Mode("direct"), door)
    try:
        for part in parts:
            home.start(part)
        yield home
    finally:
        home.stop()
        door.close()
