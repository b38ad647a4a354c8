"""The catalog gate: asks PostgreSQL itself whether the wall stands.

Run at the start of every web process and worker, and in the tests; never in migrate. Objects that
an extension owns are passed over.
"""

from collections.abc import Mapping, Sequence

from django.db import connection
from django.db.utils import DatabaseError

Classes = Mapping[str, Sequence[str]]

# Of one table rows may go: what an entry says, where an erasure names it and by no other way.
_TABLES = """
SELECT c.relname, c.relrowsecurity AND c.relforcerowsecurity,
       EXISTS (SELECT FROM pg_policy p WHERE p.polrelid = c.oid AND p.polpermissive),
       EXISTS (SELECT FROM pg_attribute a WHERE a.attrelid = c.oid
               AND a.attname = 'organisation_id' AND a.attnotnull AND NOT a.attisdropped),
       has_table_privilege(c.oid, 'DELETE') AND NOT EXISTS (
         SELECT FROM pg_policy p WHERE c.relname = 'yards_entrypayload' AND p.polrelid = c.oid
         AND p.polname = 'erased' AND p.polcmd = 'd' AND NOT p.polpermissive),
       has_table_privilege(c.oid, 'TRUNCATE')
FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
WHERE n.nspname = 'public' AND c.relkind IN ('r', 'p')
  AND NOT EXISTS (SELECT FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e')
ORDER BY c.relname
"""
_VIEWS = """
SELECT c.relname FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
WHERE n.nspname = 'public'
  AND (c.relkind = 'm' OR (c.relkind = 'v'
       AND NOT coalesce('security_invoker=true' = ANY (c.reloptions), false)))
  AND NOT EXISTS (SELECT FROM pg_depend d WHERE d.objid = c.oid AND d.deptype = 'e')
"""
_DEFINERS = """
SELECT p.proname FROM pg_proc p JOIN pg_namespace n ON n.oid = p.pronamespace
WHERE n.nspname = 'public' AND p.prosecdef
  AND NOT EXISTS (SELECT FROM pg_depend d WHERE d.objid = p.oid AND d.deptype = 'e')
"""
_KEYS = """
SELECT c.conname, t.relname, r.relname FROM pg_constraint c
JOIN pg_class t ON t.oid = c.conrelid JOIN pg_class r ON r.oid = c.confrelid
WHERE c.contype = 'f' AND t.relname = ANY (%(inside)s) AND r.relname = ANY (%(inside)s)
  AND r.relname <> 'yards_organisation'
  AND NOT EXISTS (SELECT FROM pg_attribute a WHERE a.attrelid = c.conrelid
                  AND a.attnum = ANY (c.conkey) AND a.attname = 'organisation_id')
"""
_UNTIED = """
SELECT t.relname, a.attname FROM pg_attribute a JOIN pg_class t ON t.oid = a.attrelid
WHERE t.relname = ANY (%(inside)s) AND a.atttypid = 'int8'::regtype AND a.attname LIKE '%%\\_id'
  AND NOT a.attisdropped AND NOT EXISTS (
    SELECT FROM pg_constraint c WHERE c.contype = 'f' AND c.conrelid = t.oid
    AND a.attnum = ANY (c.conkey))
"""
# What hangs on a horse is hidden with it. The two others say who may see, and are of people.
_SEEN_BY_ALL = """
SELECT c.relname FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid
WHERE c.relname = ANY (%(inside)s) AND NOT a.attisdropped
  AND (a.attname = 'horse_id' OR c.relname = 'yards_horse' AND a.attname = 'id')
  AND c.relname NOT IN ('yards_granthorse', 'yards_restriction')
  AND NOT EXISTS (SELECT FROM pg_policy p WHERE p.polrelid = c.oid AND p.polname = 'sight'
                  AND NOT p.polpermissive)
"""
_ROLE = "SELECT rolname, rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = current_user"
_OWNED = """
SELECT c.relname FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
WHERE n.nspname = 'public' AND c.relkind IN ('r', 'p')
  AND pg_get_userbyid(c.relowner) = current_user
"""


class WallBroken(RuntimeError):
    """The database would not keep organisations apart; the process must not serve."""


def _rows(sql: str, **params: list[str]) -> list[tuple[object, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql, params or None)
        return list(cursor.fetchall())


def _table_faults(classes: Classes) -> list[str]:
    faults = []
    person, door, tenant = (set(classes[each]) for each in ("person", "door", "tenant"))
    for name, secured, policed, owned, deletes, truncates in _rows(_TABLES):
        if name in person:
            continue
        if name not in door | tenant:
            faults.append(f"table {name} is in no class")
            continue
        if not (secured and policed):
            faults.append(f"table {name} has no forced row security or no policy")
        if not owned and name != "yards_organisation":
            faults.append(f"table {name} has no NOT NULL organisation_id")
        if deletes or truncates:
            faults.append(f"rows of {name} can be removed by this role")
    return faults


def faults(classes: Classes) -> list[str]:
    """Return what is wrong with the wall as seen by the current role; empty when it stands.

    ``classes`` holds the names of all tables under "person", "door" and "tenant".
    """
    inside = [*classes["door"], *classes["tenant"]]
    return [
        *(
            f"role {name} is superuser or bypasses row security"
            for name, over in _rows(_ROLE)
            if over
        ),
        *(f"this role owns table {name}" for (name,) in _rows(_OWNED)),
        *_table_faults(classes),
        *(f"view {name} runs as its owner" for (name,) in _rows(_VIEWS)),
        *(f"function {name} runs as its owner" for (name,) in _rows(_DEFINERS)),
        *(
            f"key {name} from {table} to {other} leaves out the organisation"
            for name, table, other in _rows(_KEYS, inside=inside)
        ),
        *(
            f"table {name} hides nothing of restricted horses"
            for (name,) in _rows(_SEEN_BY_ALL, inside=inside)
        ),
        *(
            f"column {table}.{column} has no key in SQL"
            for table, column in _rows(_UNTIED, inside=inside)
        ),
    ]


def gate(classes: Classes) -> None:
    """Raise WallBroken, naming every fault, unless the wall stands and can be read."""
    try:
        found = faults(classes)
    except DatabaseError as error:
        raise WallBroken(f"the catalog cannot be read: {error}") from error
    if found:
        raise WallBroken("; ".join(found))
