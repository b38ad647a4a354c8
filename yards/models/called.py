"""What a person is called: where the open organisation has erased them, by their alias.

This is asked by the column itself, so that no query, join or order can forget it. Outside an
organisation, where people sign in, a person is called as their account has it. The columns are
written, and an address is looked up, as they stand.
"""

from typing import Any

from django.db import models
from django.db.models.expressions import Col

# The organisation as ``yards.migrations._tenancy.ORGANISATION`` has it; models know no migrations.
_ERASED = (
    "(SELECT {told} FROM yards_erasure gone WHERE gone.person_id = {table}.id AND "
    "gone.organisation_id = nullif(current_setting('halfpoint.organisation', true), '')::uuid)"
)


def _told(column: str, told: str) -> str:
    """Return SQL for a quoted column of a table or its alias, as the open organisation has it."""
    table = column.rpartition(".")[0]
    return f"coalesce({_ERASED.format(told=told, table=table)}, {column})"


def name_of(person: str) -> str:
    """Return SQL for the name of a person of ``yards_user``, which the statement calls ``person``.

    For statements of our own, which ask no column of the mapper's.
    """
    return _told(f"{person}.name", "gone.alias")


class _Called(Col):
    def as_sql(self, compiler: Any, connection: Any) -> tuple[str, tuple[str | int, ...]]:
        column, params = super().as_sql(compiler, connection)
        return (_told(column, "gone.alias") if self.alias else column), params


class Called(models.CharField):  # type: ignore[type-arg]
    """A person's name, wherever it is read, compared or sorted by."""

    def get_col(self, alias: str, output_field: Any = None) -> Col:
        """Return the column as the open organisation calls it."""
        return _Called(alias, self, output_field)

    def deconstruct(self) -> Any:
        """Be a plain column to migrations."""
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.CharField", args, kwargs


class Address(models.EmailField):  # type: ignore[type-arg]
    """A person's e-mail address: empty where it is read, the same where somebody is looked up."""

    def select_format(self, compiler: Any, sql: str, params: Any) -> tuple[str, Any]:
        """Return the column as it is read."""
        return _told(sql, "''"), params

    def deconstruct(self) -> Any:
        """Be a plain column to migrations."""
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.EmailField", args, kwargs
