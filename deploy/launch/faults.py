"""``deploy/faults``: breaks the whole service on servers of its own and says what was lost."""

import os
import subprocess

from deploy.launch import bootstrap, start
from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import Trouble, step


def main(argv: list[str]) -> int:
    """Run the command; return its exit code. Arguments are those of ``python -m tests.faults``."""
    start.heed_signals()
    try:
        bootstrap.ensure(everything=True)
        left_out = {*start.OWN, "HALFPOINT_ROLE", "DJANGO_SETTINGS_MODULE"}
        environ = {key: value for key, value in os.environ.items() if key not in left_out}
        command = [str(PYTHON), "-W", "ignore", "-m", "tests.faults", *argv]
        step("breaking it (leave the machine alone)")
        ran = subprocess.Popen(command, cwd=BASE, env=environ)
        try:
            return ran.wait()
        finally:
            if ran.poll() is None:
                ran.terminate()  # it stops its servers before it ends
                ran.wait()
    except start.Stop:
        step("stopped")
        return 130
    except Trouble as trouble:
        print(f"\n{trouble}", flush=True)
        return trouble.code
