"""The auditor looks at all that the grant names, changes nothing, and leaves a trace of it."""

import pytest
from django.db import connection

from tests.api.asking import Asker
from tests.conftest import _owner
from tests.doors import counting, knocking, matrix
from tests.doors.conftest import Stage

AUDITOR = "hollis"


def test_no_unsafe_method_of_any_route_writes_a_row(gallery: Stage) -> None:
    with gallery() as scene:
        before = counting.rows()
        for row in matrix.API:
            for method in knocking.UNSAFE:
                path, body = knocking.path_of(row, scene), knocking.body_of(row, scene)
                response = Asker(AUDITOR).send(method, path, body)
                assert 400 <= response.status_code < 500, (method, row.name)
        assert counting.rows() == before


@pytest.mark.parametrize(
    "row",
    [row for row in matrix.API if row.method == "GET" and row.expected[None] == 401],
    ids=str,
)
def test_each_look_is_entered_before_it_is_served(gallery: Stage, row: matrix.Row) -> None:
    if row.name == "api_unknown":
        return
    with gallery() as scene:
        before = counting.rows()
        knocking.knock(row, scene, AUDITOR)
        after = counting.rows()
        grown = {table: after[table] - before[table] for table in after}
        assert {table for table, more in grown.items() if more} == counting.LEDGER
        assert {grown[table] for table in counting.LEDGER} == {1}
        newest = Asker("isolde").get("record/entries/").json()["results"][0]
        assert newest["verb"] == "read"
        assert newest["actor_name"] == "Hollis Brand"
        assert newest["payload"]["reading"] == row.name
        assert newest["target"]["id"] == (scene[row.ids["id"]] if "id" in row.ids else None)


def test_a_look_that_cannot_be_entered_shows_nothing(stage: Stage) -> None:
    """The ledger is made to fail by the database itself."""
    with stage() as scene:
        name = connection.settings_dict["NAME"]
        with _owner(name) as owner:
            owner.execute("ALTER TABLE yards_entry ADD CONSTRAINT shut CHECK (false) NOT VALID")
        hollis = Asker(AUDITOR)
        hollis.client.raise_request_exception = False
        path = f"/api/v1/horses/{scene['Teasel']}/"
        response = hollis.client.get(path, headers=hollis.headers)
        assert response.status_code == 500
        assert b"Teasel" not in response.content
