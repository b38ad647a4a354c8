"""The wall between organisations, asked of PostgreSQL itself, as the roles that serve.

The behaviours checked are those of PostgreSQL's manual, chapters Row Security Policies, Privileges,
Constraints (Foreign Keys, Exclusion) and CREATE POLICY.
"""

from collections.abc import Iterator
from datetime import timedelta

import psycopg
import pytest
from django.conf import settings
from django.db import connection
from psycopg import errors as pg
from psycopg import sql

from tests import cast
from tests.conftest import environment_of, viewer_of
from tests.outside import EXACT, outside
from yards import isolation
from yards.access import viewers
from yards.rules import errors
from yards.rules.roles import Role, Viewer

CLOSED = [*settings.TABLE_CLASSES["tenant"], *settings.TABLE_CLASSES["door"]]
INTO = "SELECT set_config('halfpoint.organisation', %s, true)"


def connected(database: str, role: str) -> Iterator[psycopg.Connection]:
    with psycopg.connect(environment_of(database)[role]) as conn:
        yield conn
        conn.rollback()


@pytest.fixture
def runtime(database: str) -> Iterator[psycopg.Connection]:
    yield from connected(database, "DATABASE_URL")


@pytest.fixture
def relay(database: str) -> Iterator[psycopg.Connection]:
    yield from connected(database, "DATABASE_RELAY_URL")


def one(cursor: psycopg.Cursor) -> int:
    row = cursor.fetchone()
    assert row is not None
    return int(row[0])


def count(conn: psycopg.Connection, table: str) -> int:
    query = sql.SQL("SELECT count(*) FROM {}").format(sql.Identifier(table))
    return one(conn.execute(query))


def enter(conn: psycopg.Connection, organisation: str) -> None:
    conn.execute(INTO, [str(cast.ref(organisation))])


def key(conn: psycopg.Connection, table: str, name: str) -> int:
    query = sql.SQL("SELECT id FROM {} WHERE ref = %s").format(sql.Identifier(table))
    return one(conn.execute(query, [cast.ref(name)]))


def test_without_an_open_organisation_there_is_nothing(runtime: psycopg.Connection) -> None:
    assert {table: count(runtime, table) for table in CLOSED} == dict.fromkeys(CLOSED, 0)


def test_the_same_tables_do_hold_rows_once_the_organisation_is_open(
    runtime: psycopg.Connection,
) -> None:
    enter(runtime, cast.QUILLET)
    assert count(runtime, "yards_horse") == 5
    assert count(runtime, "yards_yard") == 3
    assert count(runtime, "yards_organisation") == 1
    assert count(runtime, "yards_grant") == 5


def test_after_the_transaction_the_wall_stands_again(runtime: psycopg.Connection) -> None:
    enter(runtime, cast.QUILLET)
    runtime.commit()
    assert count(runtime, "yards_horse") == 0


@outside(
    "policies are checked before constraints",
    source="PostgreSQL manual, CREATE POLICY",
    status=EXACT,
)
def test_every_table_refuses_rows_without_an_open_organisation(
    runtime: psycopg.Connection,
) -> None:
    """A row of nothing meets the policy first: PostgreSQL checks policies before constraints."""
    for table in CLOSED:
        insert = sql.SQL("INSERT INTO {} DEFAULT VALUES").format(sql.Identifier(table))
        refused = pytest.raises(
            pg.InsufficientPrivilege, match=f'security policy for table "{table}"'
        )
        with refused, runtime.transaction():
            runtime.execute(insert)


def test_a_row_cannot_be_written_into_or_moved_to_another_organisation(
    runtime: psycopg.Connection,
) -> None:
    enter(runtime, cast.LARCHGILL)
    with pytest.raises(pg.InsufficientPrivilege, match="row-level security"), runtime.transaction():
        runtime.execute(
            "UPDATE yards_horse SET organisation_id = %s WHERE ref = %s",
            [cast.ref(cast.QUILLET), cast.ref("Gorse")],
        )
    with pytest.raises(pg.InsufficientPrivilege, match="row-level security"), runtime.transaction():
        runtime.execute(
            "INSERT INTO yards_horse (organisation_id) VALUES (%s)", [cast.ref(cast.QUILLET)]
        )
    moved = runtime.execute(
        "UPDATE yards_horse SET name = 'Taken' WHERE organisation_id = %s",
        [cast.ref(cast.QUILLET)],
    )
    assert moved.rowcount == 0


@outside(
    "referential checks pass over row security",
    source="PostgreSQL manual, Row Security Policies",
    status=EXACT,
)
def test_a_key_cannot_reach_into_another_organisation(runtime: psycopg.Connection) -> None:
    """A plain foreign key would be satisfied: referential checks pass over row security."""
    enter(runtime, cast.LARCHGILL)
    theirs = key(runtime, "yards_yard", "Larchgill Yard")
    enter(runtime, cast.QUILLET)
    horse = key(runtime, "yards_horse", "Teasel")
    with pytest.raises(pg.ForeignKeyViolation), runtime.transaction():
        runtime.execute("UPDATE yards_horse SET yard_id = %s WHERE id = %s", [theirs, horse])
    with pytest.raises(pg.ForeignKeyViolation), runtime.transaction():
        runtime.execute(
            "INSERT INTO yards_stay (organisation_id, ref, horse_id, yard_id, from_at, until_at)"
            " VALUES (%s, gen_random_uuid(), %s, %s, '2001-01-01Z', '2001-01-02Z')",
            [cast.ref(cast.QUILLET), horse, theirs],
        )


def test_every_reference_between_closed_tables_carries_the_organisation(
    runtime: psycopg.Connection,
) -> None:
    """Asked of the catalog here once more, apart from the gate's own question."""
    found = runtime.execute(
        "SELECT t.relname, count(*) FROM pg_constraint c JOIN pg_class t ON t.oid = c.conrelid"
        " JOIN pg_class r ON r.oid = c.confrelid WHERE c.contype = 'f'"
        " AND t.relname = ANY (%s) AND r.relname = ANY (%s) AND r.relname <> 'yards_organisation'"
        " AND array_length(c.conkey, 1) <> 2 GROUP BY 1",
        [CLOSED, CLOSED],
    ).fetchall()
    assert found == []


def test_the_relay_sees_what_is_due_where_and_no_more(
    database: str, runtime: psycopg.Connection, relay: psycopg.Connection
) -> None:
    enter(runtime, cast.QUILLET)
    runtime.execute(
        "INSERT INTO scoring_timer (organisation_id, ref, kind, key, due_at, attempts, created_at)"
        " VALUES (%s, gen_random_uuid(), 'sweep', 'due', '2026-01-01Z', 0, '2026-01-01Z'),"
        " (%s, gen_random_uuid(), 'sweep', 'done', NULL, 0, '2026-01-01Z')",
        [cast.ref(cast.QUILLET)] * 2,
    )
    runtime.commit()
    seen = relay.execute("SELECT organisation_id, due_at IS NULL FROM scoring_timer").fetchall()
    assert seen == [(cast.ref(cast.QUILLET), False)]
    for column in ("ref", "kind", "key", "alert_id", "yard_id", "created_at"):
        query = sql.SQL("SELECT {} FROM scoring_timer").format(sql.Identifier(column))
        with pytest.raises(pg.InsufficientPrivilege), relay.transaction():
            relay.execute(query)
    with pytest.raises(pg.InsufficientPrivilege), relay.transaction():
        relay.execute("UPDATE scoring_timer SET due_at = NULL")


def test_the_relay_sees_nothing_else(relay: psycopg.Connection) -> None:
    relayed = {"scoring_timer", "scoring_notice"}
    for table in {*settings.TABLE_CLASSES["person"], *CLOSED} - relayed:
        with pytest.raises(pg.InsufficientPrivilege, match=table), relay.transaction():
            count(relay, table)


def test_an_organisation_is_opened_once_and_outermost(database: str) -> None:
    isolde, perran = viewer_of("isolde"), viewer_of("perran")
    with isolation.of(isolde):
        with pytest.raises(isolation.NotIsolated), isolation.of(perran):
            pass
        with pytest.raises(isolation.NotIsolated), isolation.door(person=perran.person):
            pass
        isolation.required(isolde)
        with pytest.raises(isolation.NotIsolated):
            isolation.required(perran)
    with pytest.raises(isolation.NotIsolated):
        isolation.required(isolde)


def test_nothing_of_an_opening_is_left_on_the_connection(database: str) -> None:
    """Whoever comes next on it is nobody, whether what was done inside was kept or refused."""
    isolde = viewer_of("isolde")

    def refused() -> None:
        with isolation.of(isolde):
            raise errors.Conflict

    with isolation.of(isolde):
        pass
    with pytest.raises(errors.Conflict):
        refused()
    with isolation.door(person=isolde.person):
        isolation.enter(isolde.organisation, cast.ref("isolde"))
    with connection.cursor() as cursor:
        for table in ("yards_horse", "yards_grant", "yards_organisation"):
            cursor.execute(f'SELECT count(*) FROM "{table}"')  # noqa: S608 - our own list
            assert cursor.fetchone() == (0,), table


def test_a_read_only_opening_is_held_by_the_database(database: str) -> None:
    with isolation.of(viewer_of("hollis"), read_only=True), connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM yards_horse")
        assert cursor.fetchone() == (5,)
        with pytest.raises(Exception, match="read-only transaction"):
            cursor.execute("UPDATE yards_horse SET name = 'Changed'")


def test_a_viewer_of_no_organisation_sees_nothing(database: str) -> None:
    nowhere = Viewer(organisation=cast.ref("no such organisation"), role=Role.COORDINATOR)
    with isolation.of(nowhere), connection.cursor() as cursor:
        for table in CLOSED:
            cursor.execute(f'SELECT count(*) FROM "{table}"')  # noqa: S608 - our own list
            assert cursor.fetchone() == (0,), table


def test_the_door_shows_a_token_and_its_own_grants_only(
    database: str, runtime: psycopg.Connection
) -> None:
    digest = viewers.digest_of(cast.token("maud")).hex()
    runtime.execute("SELECT set_config('halfpoint.token', %s, true)", [digest])
    assert count(runtime, "yards_token") == 1
    assert count(runtime, "yards_grant") == 0
    runtime.rollback()
    runtime.execute("SELECT set_config('halfpoint.person', %s, true)", [str(cast.ref("maud"))])
    assert count(runtime, "yards_grant") == 1
    assert count(runtime, "yards_organisation") == 1
    assert count(runtime, "yards_token") == 0
    assert count(runtime, "yards_horse") == 0


@outside(
    "half-open ranges may touch and never overlap",
    source="PostgreSQL manual, Constraints, Exclusion",
    status=EXACT,
)
def test_stays_of_a_horse_never_overlap(runtime: psycopg.Connection) -> None:
    """The database itself: half-open ranges may touch, never overlap."""
    enter(runtime, cast.QUILLET)
    horse, yard = key(runtime, "yards_horse", "Teasel"), key(runtime, "yards_yard", "Sallow Field")
    stay = (
        "INSERT INTO yards_stay (organisation_id, ref, horse_id, yard_id, from_at, until_at)"
        " VALUES (%s, gen_random_uuid(), %s, %s, %s, %s)"
    )
    here = cast.ref(cast.QUILLET)
    before, began = cast.BEGAN - timedelta(days=30), cast.BEGAN
    runtime.execute(stay, [here, horse, yard, before, began])
    for start, end in ((began, None), (began - timedelta(seconds=1), began), (before, None)):
        with pytest.raises(pg.ExclusionViolation), runtime.transaction():
            runtime.execute(stay, [here, horse, yard, start, end])
