"""Takes a lost second factor away, so that its person sets up a new one.

For somebody who has neither app, key nor spare code any more. Whoever asks by mail may be anybody:
make sure who it is first, by a voice you know on a number you had before.
"""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from yards import clock
from yards.actions import factors
from yards.rules import errors


class Command(BaseCommand):
    """Say what was taken away; the person hears of it by mail, and each record has an entry."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the address that they sign in by."""
        parser.add_argument("email", help="the e-mail address that they sign in by")

    def handle(self, *args: Any, **options: Any) -> None:
        """Take it away, or say why not."""
        try:
            taken = factors.reset(options["email"], now=clock.now())
        except errors.NotFound as nobody:
            raise CommandError(
                "Nobody signs in by this address. Check how it is spelt."
            ) from nobody
        if not taken:
            self.stdout.write("They have no second factor; the password alone lets them in.")
            return
        self.stdout.write(
            "Done: they sign in with their password alone, and set up a new second factor. "
            "They are signed out everywhere and told by mail."
        )
