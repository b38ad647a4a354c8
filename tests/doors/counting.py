"""How many rows every table holds, over both organisations."""

from collections.abc import Iterable

from django.conf import settings
from django.db import connection

from tests import cast
from yards import isolation
from yards.rules.roles import Role, Viewer

LEDGER = {"yards_entry", "yards_entrypayload"}
# Sessions and sign-ins are the browser's own business.
_OTHER = {"django_session", "django_migrations"}


def rows() -> dict[str, int]:
    """Rows by table."""
    counts = _counted(set(settings.TABLE_CLASSES["person"]) - _OTHER)
    for name in cast.ORGANISATIONS:
        with isolation.of(Viewer(organisation=cast.ref(name), role=Role.SYSTEM)):
            theirs = _counted({*settings.TABLE_CLASSES["door"], *settings.TABLE_CLASSES["tenant"]})
        counts |= {table: counts.get(table, 0) + many for table, many in theirs.items()}
    return counts


def _counted(tables: Iterable[str]) -> dict[str, int]:
    """Count in one statement: a test asks often, and one a table would be most of what it costs."""
    each = (f"SELECT '{table}', count(*) FROM \"{table}\"" for table in sorted(tables))  # noqa: S608 - from our own settings
    with connection.cursor() as cursor:
        cursor.execute(" UNION ALL ".join(each))
        return {table: int(many) for table, many in cursor.fetchall()}
