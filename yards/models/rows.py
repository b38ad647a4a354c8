"""Rows of the mapper by statements whose text stays the same.

For what every request asks, or every reading: the mapper takes longer to write such a statement
than the database to answer it, and a text that stays the same is planned once a connection.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

from django.db import DEFAULT_DB_ALIAS, DatabaseError, connection, models
from django.db.models import QuerySet

from yards.models.called import Address, Called

if TYPE_CHECKING:
    _Field = models.Field[Any, Any]

Row = TypeVar("Row", bound=models.Model)


def columns(model: type[models.Model], of: str) -> str:
    """Return all columns of a model's table, which the statement calls ``of``.

    Raises TypeError for a table whose columns the mapper reads by SQL of their own: what a person
    is called hangs on who asks.
    """
    if any(isinstance(each, Called | Address) for each in _fields(model)):
        raise TypeError(f"a {model.__name__} is read by the mapper: see yards.models.called")
    return ", ".join(f"{of}.{_column(each)}" for each in _fields(model))


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


def insert(made: models.Model) -> bool:
    """Insert a row unless its organisation has its ref already; return whether it did.

    As a statement that fails would, it waits for whoever inserts the same ref at the time. Without
    a savepoint: nothing fails.
    """
    told = [each for each in _fields(type(made)) if each.primary_key or each.generated]
    given = _given(made, [each for each in _fields(type(made)) if each not in told], is_new=True)
    marks = ", ".join(f"%({name})s" for name in given)
    statement = f"""INSERT INTO {_table(made)} ({", ".join(given)}) VALUES ({marks})
        ON CONFLICT (organisation_id, ref) DO NOTHING
        RETURNING {", ".join(_column(each) for each in told)}"""  # noqa: S608 - names of columns
    for values in asked(statement, given):
        for each, value in zip(told, values, strict=True):
            setattr(made, each.attname, value)
        made._state.adding, made._state.db = False, DEFAULT_DB_ALIAS  # noqa: SLF001 - as ``save``
        return True
    return False


def keep(held: models.Model, names: Collection[str]) -> None:
    """Write some columns of a row that is there, by their names on the row; it must be."""
    fields = {each.attname: each for each in _fields(type(held))}
    given = _given(held, [fields[name] for name in names], is_new=False)
    marks = ", ".join(f"{name} = %({name})s" for name in given)
    statement = f"UPDATE {_table(held)} SET {marks} WHERE id = %(id)s"  # noqa: S608 - as above
    with connection.cursor() as cursor:
        cursor.execute(statement, {**given, "id": held.pk})
        if cursor.rowcount != 1:
            raise DatabaseError(f"{_table(held)} {held.pk} is not there to be kept")


def keep_all(held: Sequence[Row], names: Sequence[str]) -> None:
    """Write some columns of rows of one model: of many by one statement too."""
    if len(held) == 1:
        # What one reading changed, mostly; the mapper takes its time over many.
        keep(held[0], names)
    elif held:
        every: QuerySet[Row] = QuerySet(type(held[0]))
        every.bulk_update(held, names)


def several(values: Sequence[Any], *of: type[models.Model]) -> Iterator[Any]:
    """Return a row of each model, of whose ``columns`` a statement asks one after the other."""
    first = 0
    for each in of:
        after = first + len(_fields(each))
        yield row(each, values[first:after])
        first = after


def _given(of: models.Model, fields: "Sequence[_Field]", *, is_new: bool) -> dict[str, Any]:
    """Return the values of a row as the database takes them, by column."""
    return {
        _column(each): each.get_db_prep_save(each.pre_save(of, add=is_new), connection)
        for each in fields
    }


def _column(field: "_Field") -> str:
    return str(field.column)


def _table(row: models.Model) -> str:
    return row._meta.db_table  # noqa: SLF001 - Django's own way to ask


def _fields(model: type[models.Model]) -> "Sequence[_Field]":
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
