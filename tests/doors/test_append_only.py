"""What was recorded is never altered: by grants for the runtime, by triggers for everybody.

Source: PostgreSQL's manual, chapter Privileges, and ALTER TABLE (ENABLE ALWAYS TRIGGER).
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager

import psycopg
import pytest
from psycopg import errors as pg
from psycopg import sql

from tests import cast
from tests.doors.test_isolation import connected, count, enter
from tests.outside import EXACT, outside
from yards import audit
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
LASTING = [
    "yards_entry",
    "yards_horseevent",
    "yards_erasure",
    "yards_erasedpayload",
    "scoring_assessment",
    "scoring_weighing",
    "scoring_concern",
    "scoring_photo",
    "scoring_vetorder",
    "scoring_vetorderend",
    "scoring_question",
    "scoring_questionend",
    "scoring_clinicalnote",
    "scoring_alertsighting",
]


@pytest.fixture
def runtime(database: str) -> Iterator[psycopg.Connection]:
    yield from connected(database, "DATABASE_URL")


@pytest.fixture
def owner(database: str) -> Iterator[psycopg.Connection]:
    yield from connected(database, "DATABASE_OWNER_URL")


@outside(
    "a role without the privilege is refused", source="PostgreSQL manual, Privileges", status=EXACT
)
@pytest.mark.parametrize("verb", ["UPDATE", "DELETE", "TRUNCATE"])
def test_the_runtime_cannot_alter_what_was_recorded(runtime: psycopg.Connection, verb: str) -> None:
    enter(runtime, cast.QUILLET)
    for table in LASTING:
        refused = pytest.raises(pg.InsufficientPrivilege, match=f"denied for table {table}")
        with refused, runtime.transaction():
            runtime.execute(altered(table, verb))


def altered(table: str, verb: str) -> sql.Composed:
    text = {
        "UPDATE": "UPDATE {} SET ref = gen_random_uuid()",
        "DELETE": "DELETE FROM {}",
        "TRUNCATE": "TRUNCATE {} CASCADE",
    }[verb]
    return sql.SQL(text).format(sql.Identifier(table))


def an_entry(inside: Inside) -> None:
    with inside("isolde") as viewer:
        audit.record(viewer, verb="test", target=("test", None), payload={}, at=cast.BEGAN)


@pytest.mark.parametrize("verb", ["UPDATE", "DELETE", "TRUNCATE"])
def test_even_the_owner_is_stopped_by_the_trigger(
    inside: Inside, owner: psycopg.Connection, verb: str
) -> None:
    an_entry(inside)
    enter(owner, cast.QUILLET)
    assert count(owner, "yards_entry") == 1
    with pytest.raises(pg.RestrictViolation, match="append-only"):
        owner.execute(altered("yards_entry", verb))


def test_nobody_may_pass_triggers_over_by_replication(
    runtime: psycopg.Connection, owner: psycopg.Connection
) -> None:
    """Only a superuser may set it, and these triggers fire for one too (tgenabled 'A', below)."""
    for conn in (runtime, owner):
        with pytest.raises(pg.InsufficientPrivilege), conn.transaction():
            conn.execute("SET session_replication_role = replica")


def test_the_runtime_may_not_turn_triggers_off(runtime: psycopg.Connection) -> None:
    with pytest.raises(pg.InsufficientPrivilege), runtime.transaction():
        runtime.execute("ALTER TABLE yards_entry DISABLE TRIGGER ALL")
    with pytest.raises(pg.InsufficientPrivilege), runtime.transaction():
        runtime.execute("ALTER TABLE yards_entry NO FORCE ROW LEVEL SECURITY")


@outside(
    "triggers fire whatever the replication role",
    source="PostgreSQL manual, ALTER TABLE, ENABLE ALWAYS TRIGGER",
    status=EXACT,
)
def test_every_lasting_table_has_a_trigger_that_always_fires(runtime: psycopg.Connection) -> None:
    found = runtime.execute(
        "SELECT c.relname, count(*) FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid"
        " WHERE t.tgenabled = 'A' AND NOT t.tgisinternal GROUP BY 1"
    ).fetchall()
    assert {name for name, triggers in found if triggers >= 2} >= set(LASTING)
