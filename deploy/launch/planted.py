"""``deploy/planted``: plants authorisation bugs in copies of this tree; the tests must catch each.

On servers of its own, as ``deploy/test`` has them; nothing of this tree is changed.
"""

import os
import shutil
import tempfile
from pathlib import Path

from deploy.launch import bootstrap, checks, runner, servers
from deploy.launch.trouble import step


def main(argv: list[str]) -> int:
    """Run the command; return its exit code. Arguments: ``python -m tests.planted.run --help``."""
    folder = Path(tempfile.mkdtemp(prefix="halfpoint-planted-"))
    try:
        return runner.run(lambda: _planted(argv, folder))
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _planted(argv: list[str], folder: Path) -> int:
    bootstrap.ensure(everything=True)
    with servers.running(folder, safe=False, createdb=True) as up:
        step("planting bugs, one after the other (some minutes)")
        environ = checks.environ_of(up, browser=os.environ.get("CHROMIUM", ""))
        return runner.wait_for(["-m", "tests.planted.run", *argv], environ)
