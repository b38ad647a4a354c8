"""``deploy/planted``: plants authorisation bugs in copies of this tree; the tests must catch each.

On servers of its own, as ``deploy/test`` has them; nothing of this tree is changed.
"""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from deploy.launch import bootstrap, checks, servers, start
from deploy.launch.programs import BASE, PYTHON
from deploy.launch.trouble import Trouble, step


def main(argv: list[str]) -> int:
    """Run the command; return its exit code. Arguments: ``python -m tests.planted.run --help``."""
    start.heed_signals()
    folder = Path(tempfile.mkdtemp(prefix="halfpoint-planted-"))
    try:
        bootstrap.ensure(everything=True)
        with servers.running(folder, safe=False, createdb=True) as up:
            step("planting bugs, one after the other (some minutes)")
            environ = checks.environ_of(up, browser=os.environ.get("CHROMIUM", ""))
            ran = subprocess.Popen(
                [str(PYTHON), "-m", "tests.planted.run", *argv], cwd=BASE, env=environ
            )
            try:
                return ran.wait()
            finally:
                if ran.poll() is None:
                    ran.terminate()
                    ran.wait()
    except start.Stop:
        step("stopped")
        return 130
    except Trouble as trouble:
        print(f"\n{trouble}", flush=True)
        return trouble.code
    finally:
        shutil.rmtree(folder, ignore_errors=True)
