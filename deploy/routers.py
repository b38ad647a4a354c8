"""The relay connection only ever reads by hand-written SQL; the ORM and migrations keep off it."""

from typing import Any


class RelayOnlyReads:
    """Keep every model on the default connection."""

    def db_for_read(self, model: type, **hints: Any) -> str:
        """Return the default connection."""
        return "default"

    def db_for_write(self, model: type, **hints: Any) -> str:
        """Return the default connection."""
        return "default"

    def allow_migrate(self, db: str, app_label: str, **hints: Any) -> bool:
        """Migrate the default connection only."""
        return db == "default"
