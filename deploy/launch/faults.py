"""``deploy/faults``: breaks the whole service on servers of its own and says what was lost."""

import os

from deploy.launch import bootstrap, runner, start
from deploy.launch.trouble import step


def main(argv: list[str]) -> int:
    """Run the command; return its exit code. Arguments are those of ``python -m tests.faults``."""
    return runner.run(lambda: _broken(argv))


def _broken(argv: list[str]) -> int:
    bootstrap.ensure(everything=True)
    left_out = {*start.OWN, "HALFPOINT_ROLE", "DJANGO_SETTINGS_MODULE"}
    environ = {key: value for key, value in os.environ.items() if key not in left_out}
    step("breaking it (leave the machine alone)")
    return runner.wait_for(["-W", "ignore", "-m", "tests.faults", *argv], environ)
