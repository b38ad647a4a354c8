"""Makes an organisation with its first coordinator, who lets everybody else in."""

import getpass
import sys
from typing import Any

import uuid_utils.compat as uuid_utils
from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser

from yards import clock, isolation
from yards.actions import organisations
from yards.rules import errors
from yards.rules.roles import Role, Viewer


class Command(BaseCommand):
    """Print the new organisation's id."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the names, and a password from standard input only: never from a command line."""
        parser.add_argument("name", help="the organisation's name")
        parser.add_argument("email", help="the coordinator's e-mail address")
        parser.add_argument("coordinator", help="the coordinator's name")
        parser.add_argument(
            "--password-stdin",
            action="store_true",
            help="read a first password for a new person from standard input",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Make it in one transaction, or say what is wrong."""
        password = _password(options["email"]) if options["password_stdin"] else None
        viewer = Viewer(organisation=uuid_utils.uuid7(), role=Role.SYSTEM, via="command")
        try:
            with isolation.of(viewer):
                made = organisations.make_organisation(
                    viewer,
                    name=options["name"],
                    email=options["email"],
                    coordinator=options["coordinator"],
                    now=clock.now(),
                    password=password,
                )
        except errors.Invalid as refused:
            raise CommandError(str(refused)) from refused
        self.stdout.write(str(made.organisation))


def _password(email: str) -> str:
    if sys.stdin.isatty():
        # Somebody sits there: ask, and let nobody read along.
        password = getpass.getpass(f"First password for {email}: ")
    else:
        password = sys.stdin.readline().rstrip("\n")
    try:
        password_validation.validate_password(password)
    except ValidationError as weak:
        raise CommandError(" ".join(weak.messages)) from weak
    return password
