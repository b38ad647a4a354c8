"""A copy of the tree to plant bugs in, one after the other, and pytest run in it."""

import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from xml.etree import ElementTree

LEFT_OUT = (".git", ".venv", ".halfpoint", "__pycache__", "*.pyc", ".*_cache", ".hypothesis")
FAILED = 1  # pytest's exit code for tests that failed, and nothing else
# What fails in this way has met a patch that is no working code, not the bug.
BROKEN = ("ImportError", "ModuleNotFoundError", "SyntaxError", "NameError", "AttributeError")


@dataclass(frozen=True)
class Ran:
    """What pytest said: its exit code, the tests that failed and those that could not be run."""

    code: int
    failed: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()
    said: str = ""
    seconds: float = 0.0

    @property
    def is_caught(self) -> bool:
        """Whether a test ran, met the bug, and failed for it."""
        return self.code == FAILED and bool(self.failed) and not self.broken


@dataclass
class Lane:
    """A copy of the tree at ``tree``, with room beside it for what a run leaves behind."""

    folder: Path
    _touched: int = field(default=0, init=False)
    _running: "subprocess.Popen[str] | None" = field(default=None, init=False)

    @property
    def tree(self) -> Path:
        """The copy."""
        return self.folder / "tree"

    @contextmanager
    def planted(self, changed: Mapping[str, str]) -> Iterator[None]:
        """Have files say something else for a while."""
        whole = {path: (self.tree / path).read_text(encoding="utf-8") for path in changed}
        try:
            self._write(changed)
            yield
        finally:
            self._write(whole)

    def _write(self, texts: Mapping[str, str]) -> None:
        # Python knows a source by size and whole second, so each writing has a second of its own.
        self._touched += 2
        at = time.time() + self._touched
        for path, text in texts.items():
            (self.tree / path).write_text(text, encoding="utf-8")
            os.utime(self.tree / path, (at, at))

    @property
    def templates(self) -> dict[str, str]:
        """The databases that the last run made for all of its tests, by kind: tables, and cast."""
        made = {kind: self.folder / "temp" / kind for kind in ("migrated", "template")}
        return {kind: each.read_text() for kind, each in made.items() if each.exists()}

    def run(
        self,
        tests: Sequence[str],
        *more: str,
        templates: Mapping[str, str] = MappingProxyType({}),
        within: float = 300,
    ) -> Ran:
        """Run tests here, for at most ``within`` seconds, on templates that there are already."""
        began, told = time.monotonic(), self.folder / "told.xml"
        told.unlink(missing_ok=True)
        options = [
            "-q",
            "--tb=line",
            "--show-capture=no",
            f"--junitxml={told}",
            f"--basetemp={self.folder / 'temp'}",
        ]
        self._running = subprocess.Popen(
            [sys.executable, "-m", "pytest", *options, *more, *tests],
            cwd=self.tree,
            env={
                **os.environ,
                "PYTHONPATH": str(self.tree),
                "PLANTED_TEMPLATES": json.dumps(dict(templates)),
            },
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        try:
            written, _ = self._running.communicate(timeout=within)
        finally:
            self.stop()
        failed, broken = _told(told) if told.exists() else ([], [])
        said = "\n".join(written.splitlines()[-25:])
        seconds = time.monotonic() - began
        return Ran(self._running.returncode, tuple(failed), tuple(broken), said, seconds)

    def stop(self) -> None:
        """End what runs here, if anything does."""
        if self._running is not None and self._running.poll() is None:
            self._running.terminate()
            self._running.wait()


def _told(report: Path) -> tuple[list[str], list[str]]:
    """Return the names of tests that failed, and of those that could not be run."""
    failed, broken = [], []
    for case in ElementTree.parse(report).iter("testcase"):  # noqa: S314 - pytest wrote it just now
        name = f"{case.get('classname', '').rpartition('.')[2]}::{case.get('name')}"
        for each in case:
            if each.tag == "error" or (
                each.tag == "failure" and (each.get("message") or "").startswith(BROKEN)
            ):
                broken.append(name)
            elif each.tag == "failure":
                failed.append(name)
    return failed, broken


@contextmanager
def opened(root: Path, folder: Path) -> Iterator[Lane]:
    """Yield a lane with a copy of a tree, which is removed afterwards with what it compiled."""
    lane = Lane(folder)
    shutil.copytree(root, lane.tree, ignore=shutil.ignore_patterns(*LEFT_OUT))
    (lane.tree / ".venv").symlink_to((root / ".venv").resolve())
    try:
        yield lane
    finally:
        shutil.rmtree(folder, ignore_errors=True)
        if kept := os.environ.get("PYTHONPYCACHEPREFIX"):
            compiled = Path(kept) / folder.relative_to("/")
            shutil.rmtree(compiled, ignore_errors=True)
            with suppress(OSError):
                compiled.parent.rmdir()
