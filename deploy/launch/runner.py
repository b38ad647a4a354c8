"""What the commands beside ``deploy/start`` share: how they end, and how they run a program."""

import subprocess
from collections.abc import Callable

from deploy.launch import start
from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import Trouble, step


def run(work: Callable[[], int]) -> int:
    """Do the work and return its exit code; TERM and Ctrl-C end it with 130, trouble is told."""
    start.heed_signals()
    try:
        return work()
    except start.Stop:
        step("stopped")
        return 130
    except Trouble as trouble:
        print(f"\n{trouble}", flush=True)
        return trouble.code


def wait_for(argv: list[str], environ: dict[str, str]) -> int:
    """Run our Python with arguments; return its exit code. Broken off, it ends before we do."""
    ran = subprocess.Popen([str(PYTHON), *argv], cwd=BASE, env=environ)
    try:
        return ran.wait()
    finally:
        if ran.poll() is None:
            ran.terminate()
            ran.wait()
