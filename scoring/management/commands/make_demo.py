"""Makes the demo scenario: two invented organisations, two years of readings, and their keys."""

import json
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from scoring.management.demo import making
from yards import clock


class Command(BaseCommand):
    """Print where the keys are."""

    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the folder for demo.json and the address it names."""
        parser.add_argument("--data", type=Path, required=True, help="folder for demo.json")
        parser.add_argument("--url", required=True, help="where the service is reached")
        parser.add_argument("--scenario", type=Path, help="another file like fixtures/demo.json")
        parser.add_argument("--password", help="one password for everybody: for tests only")

    def handle(self, *args: Any, **options: Any) -> None:
        """Make it, or say that it is there."""
        told: Path | None = options["scenario"]
        try:
            made = making.make(
                options["data"].absolute(),
                url=options["url"],
                now=clock.now(),
                password=options["password"],
                scenario=json.loads(told.read_text()) if told else None,
            )
        except making.AlreadyThere as refused:
            raise CommandError(str(refused)) from refused
        self.stdout.write(str(made))
