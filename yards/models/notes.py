"""Free words about an animal or a case, which not everybody may read.

Whether they are withheld is set by ``yards.isolation`` with the organisation that it opens, and
asked as a row is read: no query can forget it. To the database they are plain columns.
"""

from contextvars import ContextVar
from typing import Any

from django.db import models

withheld: ContextVar[bool] = ContextVar("halfpoint_notes_withheld", default=False)


def _told(value: str | None) -> str | None:
    return "" if withheld.get() and value else value


class NoteText(models.TextField):  # type: ignore[type-arg]
    """A text that is read as empty by whoever may not read notes."""

    def from_db_value(self, value: str | None, *_: Any) -> str | None:
        """Return the words, or nothing."""
        return _told(value)

    def deconstruct(self) -> Any:
        """Be a plain column to migrations."""
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.TextField", args, kwargs


class NoteLine(models.CharField):  # type: ignore[type-arg]
    """A line that is read as empty by whoever may not read notes."""

    def from_db_value(self, value: str | None, *_: Any) -> str | None:
        """Return the words, or nothing."""
        return _told(value)

    def deconstruct(self) -> Any:
        """Be a plain column to migrations."""
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", args, kwargs
