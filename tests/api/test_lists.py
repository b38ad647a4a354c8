"""Lists: paged by cursor, newest first."""

import pytest

from tests import cast
from tests.api.asking import Asker
from yards.queries import paging


def one_horse_too_many() -> None:
    """Make more horses than a page shows."""
    isolde = Asker("isolde")
    for n in range(paging.SIZE + 1):
        body = {"name": f"Horse {n}", "yard": str(cast.ref("Top Barn")), "species": "horse"}
        assert isolde.post("horses/", body).status_code == 201


more_than_a_page = pytest.mark.built(by=one_horse_too_many)


def _events(isolde: Asker, n: int) -> None:
    body = {"kind": "clipped", "at": f"2026-03-01T10:00:{n % 60:02}Z"}
    path = f"horses/{cast.ref('Teasel')}/events/"
    assert isolde.post(path, body).status_code == 201


def test_pages_follow_one_another_and_lead_back(database: str) -> None:
    isolde = Asker("isolde")
    for n in range(paging.SIZE + 3):
        _events(isolde, n)
    path = f"horses/{cast.ref('Teasel')}/events/"
    first = isolde.get(path).json()
    assert (len(first["results"]), first["previous"]) == (paging.SIZE, None)
    second = isolde.get(first["next"].removeprefix("http://testserver")).json()
    assert (len(second["results"]), second["next"]) == (3, None)
    back = isolde.get(second["previous"].removeprefix("http://testserver")).json()
    assert back["results"] == first["results"]
    refs = [each["id"] for each in (*first["results"], *second["results"])]
    assert len(set(refs)) == paging.SIZE + 3
    times = [each["recorded_at"] for each in (*first["results"], *second["results"])]
    assert times == sorted(times, reverse=True)


@more_than_a_page
def test_a_link_keeps_the_filters(database: str) -> None:
    isolde = Asker("isolde")
    top_barn = str(cast.ref("Top Barn"))
    said = isolde.get(f"horses/?yard={top_barn}&species=horse").json()
    assert f"yard={top_barn}" in said["next"]
    assert "species=horse" in said["next"]


@more_than_a_page
def test_a_cursor_of_another_organisation_is_none_of_ours(database: str) -> None:
    cursor = Asker("isolde").get("horses/").json()["next"].partition("cursor=")[2]
    assert Asker("perran").get(f"horses/?cursor={cursor}").status_code == 400
