"""The catalog gate can fail: each hole, made by the owner in a copy, is named."""

from collections.abc import Iterator
from urllib.parse import urlsplit

import psycopg
import pytest
from django.conf import settings
from django.db import connection

from tests.conftest import environment_of
from yards.isolation import catalog

HOLES = {
    "DROP POLICY inside ON yards_horse": (
        "table yards_horse has no forced row security or no policy"
    ),
    "DROP POLICY sight ON scoring_photo": (
        "table scoring_photo hides nothing of restricted horses"
    ),
    "ALTER TABLE scoring_assessment DISABLE ROW LEVEL SECURITY": (
        "table scoring_assessment has no forced row security or no policy"
    ),
    "ALTER TABLE yards_yard NO FORCE ROW LEVEL SECURITY": (
        "table yards_yard has no forced row security or no policy"
    ),
    "CREATE TABLE loose (id bigint)": "table loose is in no class",
    "CREATE VIEW every_horse AS SELECT * FROM yards_horse": "view every_horse runs as its owner",
    "CREATE MATERIALIZED VIEW kept AS SELECT * FROM yards_horse": "view kept runs as its owner",
    "CREATE FUNCTION all_horses() RETURNS bigint LANGUAGE sql SECURITY DEFINER"
    " AS 'SELECT count(*) FROM yards_horse'": "function all_horses runs as its owner",
    "ALTER TABLE yards_stay ADD CONSTRAINT plain"
    " FOREIGN KEY (yard_id) REFERENCES yards_yard (id)": (
        "key plain from yards_stay to yards_yard leaves out the organisation"
    ),
    "ALTER TABLE yards_stay DROP CONSTRAINT yards_stay_yard_id_tie": (
        "column yards_stay.yard_id has no key in SQL"
    ),
    "ALTER TABLE yards_horse ALTER organisation_id DROP NOT NULL": (
        "table yards_horse has no NOT NULL organisation_id"
    ),
    "GRANT DELETE ON yards_stay TO {runtime}": "rows of yards_stay can be removed by this role",
    "DROP POLICY erased ON yards_entrypayload": (
        "rows of yards_entrypayload can be removed by this role"
    ),
    "GRANT TRUNCATE ON yards_entry TO {runtime}": "rows of yards_entry can be removed by this role",
}


@pytest.fixture
def owner(database: str) -> Iterator[psycopg.Connection]:
    url = environment_of(database)["DATABASE_OWNER_URL"]
    with psycopg.connect(url, autocommit=True) as conn:
        yield conn


def faults() -> list[str]:
    return catalog.faults(settings.TABLE_CLASSES)


def test_the_wall_stands_as_migrated(database: str) -> None:
    assert faults() == []
    catalog.gate(settings.TABLE_CLASSES)


@pytest.mark.parametrize("hole", HOLES)
def test_each_hole_is_named_and_shuts_the_gate(owner: psycopg.Connection, hole: str) -> None:
    owner.execute(hole.format(runtime=settings.RUNTIME_ROLE))
    assert HOLES[hole] in faults()
    with pytest.raises(catalog.WallBroken, match=HOLES[hole].split()[1]):
        catalog.gate(settings.TABLE_CLASSES)


def test_a_view_that_runs_as_its_reader_is_let_through(owner: psycopg.Connection) -> None:
    owner.execute("CREATE VIEW mine WITH (security_invoker=true) AS SELECT * FROM yards_horse")
    assert faults() == []


def test_an_owner_in_the_runtime_s_place_is_named(database: str) -> None:
    owner = urlsplit(environment_of(database)["DATABASE_OWNER_URL"])
    connection.close()
    kept = {name: connection.settings_dict[name] for name in ("USER", "PASSWORD")}
    connection.settings_dict.update(USER=owner.username, PASSWORD=owner.password or "")
    try:
        assert "this role owns table yards_horse" in faults()
    finally:
        connection.close()
        connection.settings_dict.update(kept)
