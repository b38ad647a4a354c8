"""Rows of the mapper by statements whose text stays the same.

For what every reading asks: the mapper takes longer to write such a statement than the database to
answer it, and a text that stays the same is planned once a connection.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any, TypeVar

from django.db import DEFAULT_DB_ALIAS, connection, models

Row = TypeVar("Row", bound=models.Model)


def columns(model: type[models.Model], of: str) -> str:
    """Return all columns of a model's table, which the statement calls ``of``."""
    return ", ".join(f"{of}.{each.column}" for each in _fields(model))


def asked(statement: str, values: Mapping[str, Any]) -> list[tuple[Any, ...]]:
    """Return what a statement answers, in order."""
    with connection.cursor() as cursor:
        cursor.execute(statement, values)
        return list(cursor.fetchall())


def read(statement: str, values: Mapping[str, Any], model: type[Row]) -> Iterator[Row]:
    """Return the rows of one model that a statement answers; it asks for ``columns``, in order."""
    return (row(model, each) for each in asked(statement, values))


def row(model: type[Row], values: Sequence[Any]) -> Row:
    """Return a row of all ``columns`` as the mapper reads it: what is withheld is withheld."""
    names, turned = _reading(model)
    found = list(values)
    for place, turn in turned:
        found[place] = turn(found[place], None, connection)
    return model.from_db(DEFAULT_DB_ALIAS, names, found)


def width(model: type[models.Model]) -> int:
    """Return how many columns a model's table has."""
    return len(_fields(model))


def _fields(model: type[models.Model]) -> "Sequence[models.Field[Any, Any]]":
    return model._meta.concrete_fields  # noqa: SLF001 - Django's own way to ask


@cache
def _reading(model: type[models.Model]) -> tuple[list[str], list[tuple[int, Any]]]:
    """Return what the columns are called on a row, and what turns which of them into its value."""
    fields = _fields(model)
    turned = [
        (place, turn)
        for place, each in enumerate(fields)
        for turn in each.get_db_converters(connection)
    ]
    return [each.attname for each in fields], turned
