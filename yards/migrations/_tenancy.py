"""The one place that writes row-level security, composite keys and grants into a migration.

Three classes of table:
tenant  a row is seen only inside its own organisation;
door    also by the person it concerns, or by the holder of the token it is;
person  people, sessions, Django's own: no row-level security.

The policies read settings that ``yards.isolation`` sets for one transaction. After a
transaction PostgreSQL leaves '' behind, not NULL, hence the nullif.

They are plain calls, although within a sub-select each would be asked once a statement and not once
a row: that hides from the planner which organisation it is, and a small one's board then read the
alerts of all the others (measured: a tenth off the page of 12,000 horses beside one of 60, and the
main statement of the 60 twice as long).
"""

from collections.abc import Callable

from django.conf import settings
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState

ORGANISATION = "nullif(current_setting('halfpoint.organisation', true), '')::uuid"
PERSON = "nullif(current_setting('halfpoint.person', true), '')::uuid"
PRESENTED = "decode(nullif(current_setting('halfpoint.token', true), ''), 'hex')"

Statements = Callable[[], list[str]]


class Ddl(Operation):
    """DDL whose text needs the role names of this deployment. Not reversible: we only go on.

    A plain operation, not RunPython, which would render every model's state each time.
    """

    reduces_to_sql = True
    reversible = False
    atomic = True

    def __init__(self, statements: Statements) -> None:
        self.statements = statements

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Leave Django's picture of the models as it is."""

    def database_forwards(
        self,
        app_label: str,
        schema_editor: BaseDatabaseSchemaEditor,
        from_state: ProjectState,
        to_state: ProjectState,
    ) -> None:
        """Run the statements."""
        for statement in self.statements():
            schema_editor.execute(statement, params=None)

    def describe(self) -> str:
        """Say what this is in migrate's plan."""
        return "Isolation in SQL"


def _runtime() -> str:
    return f'"{settings.RUNTIME_ROLE}"'


def _relay() -> str:
    return f'"{settings.RELAY_ROLE}"'


def _secured(table: str, using: str, *, append_only: bool) -> list[str]:
    rights = "SELECT, INSERT" if append_only else "SELECT, INSERT, UPDATE"
    return [
        f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY",
        f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY",
        f"CREATE POLICY inside ON {table} USING ({using}) "
        f"WITH CHECK ({_column(table)} = {ORGANISATION})",
        f"GRANT {rights} ON {table} TO {_runtime()}",
    ]


def _column(table: str) -> str:
    return "id" if table == "yards_organisation" else "organisation_id"


def tenant(table: str, *, append_only: bool = False) -> Ddl:
    """Isolate a table by its organisation and let composite keys point at it."""

    def statements() -> list[str]:
        return [
            f"ALTER TABLE {table} ADD CONSTRAINT {table}_in UNIQUE (organisation_id, id)",
            *_secured(table, f"organisation_id = {ORGANISATION}", append_only=append_only),
        ]

    return Ddl(statements)


def door(table: str, *others: str, append_only: bool = False) -> Ddl:
    """Isolate a table that must also answer before the organisation is known."""

    def statements() -> list[str]:
        using = " OR ".join([f"{_column(table)} = {ORGANISATION}", *others])
        unique = (
            []
            if table == "yards_organisation"
            else [f"ALTER TABLE {table} ADD CONSTRAINT {table}_in UNIQUE (organisation_id, id)"]
        )
        return [*unique, *_secured(table, using, append_only=append_only)]

    return Ddl(statements)


def person(table: str, *, rights: str = "SELECT, INSERT, UPDATE, DELETE") -> Ddl:
    """Let the runtime use a table that belongs to no organisation."""
    return Ddl(lambda: [f"GRANT {rights} ON {table} TO {_runtime()}"])


def tie(table: str, column: str, to: str) -> Ddl:
    """A foreign key that carries the organisation, since a plain one ignores row security."""
    return Ddl(
        lambda: [
            f"ALTER TABLE {table} ADD CONSTRAINT {table}_{column}_tie "
            f"FOREIGN KEY (organisation_id, {column}) REFERENCES {to} (organisation_id, id) "
            "DEFERRABLE INITIALLY IMMEDIATE"
        ]
    )


def _setting(name: str, kind: str, none: str = "") -> str:
    # A sub-select of no row's is asked once a statement, not once a row.
    read = f"nullif(current_setting('halfpoint.{name}', true), '')"
    return f"(SELECT coalesce({read}, '{none}')::{kind})" if none else f"(SELECT {read}::{kind})"


def sight(
    table: str, *, horse: str = "horse_id", taken: str = "", ended: str = "", recorded: str = ""
) -> Ddl:
    """Hide rows of restricted horses, and what lies outside the part of the record that is open.

    Restrictive: it narrows every statement of everybody, whatever a query forgets. ``taken`` is
    when it was so (``ended``: until when), which an auditor's window bounds; ``recorded`` is when
    it came on record, which ``isolation.as_known`` bounds. The settings are empty for all others.
    """

    def statements() -> list[str]:
        hidden = _setting("hidden", "bigint[]", "{}")
        first, last = (_setting(f"record_{each}", "timestamptz") for each in ("from", "until"))
        known = _setting("known_at", "timestamptz")
        parts = [f"({horse} IS NULL OR {horse} <> ALL ({hidden}::bigint[]))"]
        if taken:
            until = f"coalesce({ended}, 'infinity')" if ended else taken
            parts += [f"({first} IS NULL OR {until} >= {first})"]
            parts += [f"({last} IS NULL OR {taken} < {last})"]
        if recorded:
            parts += [f"({known} IS NULL OR {recorded} <= {known})"]
        return [
            f"CREATE POLICY sight ON {table} AS RESTRICTIVE USING ({' AND '.join(parts)})",
        ]

    return Ddl(statements)


def unworked(table: str) -> Ddl:
    """Hide what is worked out from the whole record from whoever may see a part of it only."""
    first, last = (_setting(f"record_{each}", "timestamptz") for each in ("from", "until"))
    return Ddl(
        lambda: [
            f"CREATE POLICY part ON {table} AS RESTRICTIVE"
            f" USING ({first} IS NULL AND {last} IS NULL)"
        ]
    )


def never(table: str, *verbs: str) -> Ddl:
    """Refuse verbs on a table to everybody, its owner included, by trigger.

    ENABLE ALWAYS, so that a replication session does not get past it either.
    """
    events = " OR ".join(verb for verb in verbs if verb != "TRUNCATE")

    def statements() -> list[str]:
        made = _row_trigger(table, events)
        if "TRUNCATE" in verbs:
            made += [
                f"CREATE TRIGGER {table}_never_empty BEFORE TRUNCATE ON {table} "
                "FOR EACH STATEMENT EXECUTE FUNCTION halfpoint_never()",
                f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {table}_never_empty",
            ]
        return made

    return Ddl(statements)


def erasable(table: str, by: str, column: str) -> Ddl:
    """Let rows go that a row of ``by`` names by ``column``, and no others, whoever removes them.

    For the runtime by a restrictive policy, which passes the others over in silence; for everybody
    by a trigger, which refuses.
    """
    named = (
        f"EXISTS (SELECT FROM {by} gone WHERE gone.organisation_id = {{row}}.organisation_id"
        f" AND gone.{column} = {{row}}.{column})"
    )
    name = f"{table}_erased_only"
    return Ddl(
        lambda: [
            f"CREATE POLICY erased ON {table} AS RESTRICTIVE FOR DELETE TO {_runtime()} "
            f"USING ({named.format(row=table)})",
            f"GRANT DELETE ON {table} TO {_runtime()}",
            f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS "
            f"$$ BEGIN IF {named.format(row='OLD')} THEN RETURN OLD; END IF; "
            "RAISE EXCEPTION '% is append-only: % refused', TG_TABLE_NAME, TG_OP "
            "USING ERRCODE = 'restrict_violation'; END $$",
            f"CREATE TRIGGER {name} BEFORE DELETE ON {table} "
            f"FOR EACH ROW EXECUTE FUNCTION {name}()",
            f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {name}",
        ]
    )


def unnaming() -> Ddl:
    """The functions behind ``unnamed``: the name and address of somebody, whole and in any case,
    become an alias; and the trigger that lets texts change in no other way.

    A name of a single word may be any word, and stays: as ``yards.rules.erasure`` has it. After,
    not before: what is generated of a row is there only then.
    """
    plain = "regexp_replace({}, '([^[:alnum:][:space:]])', '\\\\\\1', 'g')"
    each = (
        "nullif(concat_ws('|', CASE WHEN position(' ' in btrim(name)) > 0 "
        f"THEN {plain.format('name')} END, nullif({plain.format('email')}, '')), '')"
    )
    return Ddl(
        lambda: [
            "CREATE FUNCTION halfpoint_unnamed(said text, name text, email text, alias text) "
            "RETURNS text LANGUAGE sql STABLE AS $$ SELECT coalesce(regexp_replace(said, "
            f"'(^|[^[:alnum:]])(?:' || {each} || ')(?=$|[^[:alnum:]])', "
            "'\\1' || alias, 'gi'), said) $$",
            "CREATE FUNCTION halfpoint_unnamed_only() RETURNS trigger LANGUAGE plpgsql AS $$ "
            "DECLARE was jsonb := to_jsonb(OLD); becomes jsonb := to_jsonb(NEW); BEGIN "
            "IF was - TG_ARGV = becomes - TG_ARGV AND EXISTS ("
            "SELECT FROM yards_erasure gone JOIN yards_user u ON u.id = gone.person_id "
            "WHERE gone.organisation_id = OLD.organisation_id AND NOT EXISTS ("
            "SELECT FROM unnest(TG_ARGV) word WHERE becomes ->> word IS DISTINCT FROM was ->> word "
            "AND becomes ->> word IS DISTINCT FROM "
            "halfpoint_unnamed(was ->> word, u.name, u.email, gone.alias))) "
            "THEN RETURN NULL; END IF; "
            "RAISE EXCEPTION '% is append-only: % refused', TG_TABLE_NAME, TG_OP "
            "USING ERRCODE = 'restrict_violation'; END $$",
        ]
    )


def unnamed(table: str, *columns: str) -> Ddl:
    """Let an erased person's alias take the place of their name in texts of an append-only table.

    Nothing else of a row may change, whoever tries; rows go as little as before.
    """
    words = ", ".join(f"'{each}'" for each in columns)
    return Ddl(
        lambda: [
            f"DROP TRIGGER {table}_never ON {table}",
            *_row_trigger(table, "DELETE"),
            f"CREATE TRIGGER {table}_unnamed AFTER UPDATE ON {table} "
            f"FOR EACH ROW EXECUTE FUNCTION halfpoint_unnamed_only({words})",
            f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {table}_unnamed",
            f"GRANT UPDATE ({', '.join(columns)}) ON {table} TO {_runtime()}",
        ]
    )


def _row_trigger(table: str, events: str) -> list[str]:
    return [
        f"CREATE TRIGGER {table}_never BEFORE {events} ON {table} "
        "FOR EACH ROW EXECUTE FUNCTION halfpoint_never()",
        f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {table}_never",
    ]


def never_function() -> Ddl:
    """The function behind ``never``."""
    return Ddl(
        lambda: [
            "CREATE FUNCTION halfpoint_never() RETURNS trigger LANGUAGE plpgsql AS "
            "$$ BEGIN RAISE EXCEPTION '% is append-only: % refused', TG_TABLE_NAME, TG_OP "
            "USING ERRCODE = 'restrict_violation'; END $$"
        ]
    )


def relayed(table: str) -> Ddl:
    """Let the relay role see of a table what is due where, and nothing else of it."""
    return Ddl(
        lambda: [
            f"CREATE POLICY relay ON {table} FOR SELECT TO {_relay()} USING (due_at IS NOT NULL)",
            f"GRANT SELECT (organisation_id, id, due_at) ON {table} TO {_relay()}",
        ]
    )
