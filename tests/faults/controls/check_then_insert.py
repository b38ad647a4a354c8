"""Whoever finds no row of this id inserts one; no key of the database stands behind it."""

from typing import TypeVar

from yards.actions import once
from yards.models import Owned

Row = TypeVar("Row", bound=Owned)


def breaks() -> None:
    """Let ``once.insert`` rely on the look that the action took before it."""

    def insert(row: Row) -> tuple[Row, bool]:
        row.save(force_insert=True)
        return row, True

    once.insert = insert
