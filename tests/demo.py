"""``python -m tests.demo``: the demo as ``manage.py make_demo`` makes it, for tests to copy.

But for its passwords, which are hashed at little cost, and without the checks of the whole project
before it: ``deploy/start``, which has tests of its own, makes it as everybody does.
"""

import sys

import django
from django.core.management import call_command

from tests import passwords


def main(argv: list[str]) -> None:
    """Make it, told as the command is told."""
    django.setup()
    passwords.cheapen()
    call_command("make_demo", *argv)


if __name__ == "__main__":
    main(sys.argv[1:])
