"""Asks the database whether it keeps organisations apart, as the role this process runs as."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from yards.isolation import catalog


class Command(BaseCommand):
    """Print every fault of the wall; exit 1 if there is one."""

    help = __doc__

    def handle(self, *args: Any, **options: Any) -> None:
        """Run the gate that every process runs at its start."""
        faults = catalog.faults(settings.TABLE_CLASSES)
        if faults:
            raise CommandError("\n".join(faults))
        self.stdout.write("Organisations are kept apart: no fault found.")
