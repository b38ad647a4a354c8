"""A process of ours: its own group, its own log, and a note by which a later start knows it."""

import contextlib
import json
import os
import signal
import subprocess
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from deploy.launch.mode import Mode

LOG_KEPT = 10 * 1024 * 1024  # bytes; a longer log is moved aside at the next start


class Child:
    """One running process and how to stop it."""

    def __init__(
        self,
        name: str,
        argv: list[str],
        *,
        folder: Path,
        environ: dict[str, str],
        mode: Mode,
        cwd: Path,
        stop_with: signal.Signals = signal.SIGTERM,
        feed: bytes | None = None,
        keep: Sequence[int] = (),
    ) -> None:
        """Start ``argv``; ``feed`` goes to its standard input, ``keep`` are inherited files."""
        self.name = name
        self.stop_with = stop_with
        self.log = folder / "log" / f"{name}.log"
        self._note = folder / "run" / f"{name}.json"
        for made in (self.log.parent, self._note.parent):
            made.mkdir(mode=0o700, exist_ok=True)
        if self.log.exists() and self.log.stat().st_size > LOG_KEPT:
            self.log.replace(self.log.with_suffix(".log.1"))
        with self.log.open("ab") as log:
            self._from = log.tell()
            self.process = subprocess.Popen(
                mode.command(argv),
                stdin=subprocess.DEVNULL if feed is None else subprocess.PIPE,
                stdout=log,
                stderr=log,
                env=environ,
                cwd=cwd,
                process_group=0,
                pass_fds=keep,
                **mode.options(),
            )
        note = {"pid": self.process.pid, "started": started(self.process.pid)}
        self._note.write_text(json.dumps(note))
        if feed is not None and self.process.stdin is not None:
            self.process.stdin.write(feed)
            self.process.stdin.close()

    def alive(self) -> bool:
        """Say whether it still runs."""
        return self.process.poll() is None

    def ask(self) -> None:
        """Ask it to stop, and do not wait."""
        if self.alive():
            self.process.send_signal(self.stop_with)

    def stop(self, seconds: float) -> None:
        """Ask it to stop, wait that long at most, then end its whole group."""
        self.ask()
        with contextlib.suppress(subprocess.TimeoutExpired):
            self.process.wait(max(0.0, seconds))
        self.kill()

    def kill(self) -> None:
        """End the whole group at once."""
        kill_group(self.process.pid)
        self.process.wait()
        self._note.unlink(missing_ok=True)

    def tail(self, lines: int = 20) -> str:
        """Return the last lines that it logged since it was started."""
        with self.log.open("rb") as log:
            log.seek(self._from)
            return "\n".join(log.read().decode(errors="replace").splitlines()[-lines:])


def kill_group(group: int, sign: signal.Signals = signal.SIGKILL) -> None:
    """Signal every process of a group, if any is left."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(group, sign)


def started(pid: int) -> str:
    """Return what tells this process from a later one of the same number; empty if it is gone."""
    stat = Path(f"/proc/{pid}/stat")
    if Path("/proc/self/stat").exists():
        try:
            fields = stat.read_text().rpartition(")")[2].split()
        except OSError:
            return ""
        return "" if fields[0] in "ZX" else fields[19]
    asked = ["ps", "-o", "lstart=", "-p", str(pid)]
    return subprocess.run(asked, capture_output=True, text=True, check=False).stdout.strip()


def left_over(folder: Path) -> list[str]:
    """End what an earlier start in ``folder`` left running; return the names.

    Only a process whose number and start both match its note is ours.
    """
    ended = []
    for note in sorted((folder / "run").glob("*.json")):
        try:
            fact: dict[str, Any] = json.loads(note.read_text())
        except ValueError:
            fact = {}
        pid, began = int(fact.get("pid", 0)), str(fact.get("started", ""))
        if pid and began and started(pid) == began:
            _end(pid, began, signal.SIGINT if note.stem == "postgres" else signal.SIGTERM)
            ended.append(note.stem)
        note.unlink(missing_ok=True)
    return ended


def _end(pid: int, began: str, sign: signal.Signals) -> None:
    os.kill(pid, sign)
    until = time.monotonic() + 8
    while time.monotonic() < until and started(pid) == began:
        time.sleep(0.05)
    if started(pid) == began:
        kill_group(pid)
        while started(pid) == began:
            time.sleep(0.05)
