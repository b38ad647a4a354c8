"""``deploy/bench``: measures this code against floors of the same run, on servers of its own.

Every figure is a ratio of two ways to do the same, timed by turns in one process; absolute times
are of this machine at this moment. Nothing is written but what is printed.
"""

import shutil
import subprocess
import tempfile
from pathlib import Path

from deploy.launch import bootstrap, checks, runner, servers
from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import Exit, Trouble, step

# Counted as in earnest, with no limit that the bench would meet.
RATE = {"API_RATE": "100000", "API_RATE_ANONYMOUS": "100000"}


def main(argv: list[str]) -> int:
    """Run the command; return its exit code. Arguments are those of ``python -m tests.bench``."""
    folder = Path(tempfile.mkdtemp(prefix="halfpoint-bench-"))
    try:
        return runner.run(lambda: _served(argv, folder))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _served(argv: list[str], folder: Path) -> int:
    bootstrap.ensure(everything=True)
    browser = checks.find_browser(required=True)
    # Durable, as served: a commit waits for the disk.
    with servers.running(folder, safe=True, createdb=True) as up:
        _measured(argv, {**checks.environ_of(up, browser), **RATE}, folder / "bench.log")
    return 0


def _measured(argv: list[str], environ: dict[str, str], log: Path) -> None:
    step("measuring (some minutes; leave the machine alone)")
    argv = [str(PYTHON), "-W", "ignore", "-m", "tests.bench", *argv]
    with log.open("wb") as lines:
        code = subprocess.run(argv, cwd=BASE, env=environ, stderr=lines, check=False).returncode
    if code:
        end = "\n".join(log.read_text(errors="replace").splitlines()[-20:])
        raise Trouble(Exit.FAILED, f"The bench failed (code {code}); the end of its log:\n{end}")
