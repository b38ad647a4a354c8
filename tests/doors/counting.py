"""How many rows every table holds, over both organisations."""

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
    counts: dict[str, int] = {}
    for name in cast.ORGANISATIONS:
        with isolation.of(Viewer(organisation=cast.ref(name), role=Role.SYSTEM)):
            for kind in ("door", "tenant"):
                for table in settings.TABLE_CLASSES[kind]:
                    counts[table] = counts.get(table, 0) + _count(table)
    for table in set(settings.TABLE_CLASSES["person"]) - _OTHER:
        counts[table] = _count(table)
    return counts


def _count(table: str) -> int:
    with connection.cursor() as cursor:
        cursor.execute(f'SELECT count(*) FROM "{table}"')  # noqa: S608 - from our own settings
        return int(cursor.fetchone()[0])
