"""Lists: paged by cursor, newest first, in as many queries for twenty rows as for ten."""

from collections.abc import Callable

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import cast
from tests.api.asking import Asker
from tests.doors.scene import assessment, weighing
from yards.queries import paging


def _yards(isolde: Asker, n: int) -> None:
    body = {"name": f"Yard {n}", "time_zone": "Europe/London", "hemisphere": "north"}
    assert isolde.post("yards/", body).status_code == 201


def _horses(isolde: Asker, n: int) -> None:
    body = {"name": f"Horse {n}", "yard": str(cast.ref("Top Barn")), "species": "horse"}
    assert isolde.post("horses/", body).status_code == 201


def _events(isolde: Asker, n: int) -> None:
    body = {"kind": "clipped", "at": f"2026-03-01T10:00:{n % 60:02}Z"}
    path = f"horses/{cast.ref('Teasel')}/events/"
    assert isolde.post(path, body).status_code == 201


def _assessments(isolde: Asker, n: int) -> None:
    weighed = {"method": "estimate", "weight_kg": "440"}
    body = assessment(
        str(cast.ref("Teasel")), danger_signs=["not_eating"], weighing=weighed, note=f"{n}"
    )
    assert isolde.post("assessments/", body).status_code == 201


def _weighings(isolde: Asker, n: int) -> None:
    body = weighing(str(cast.ref("Teasel")), weight_kg=str(400 + n))
    assert isolde.post("weighings/", body).status_code == 201


def _instruments(isolde: Asker, n: int) -> None:
    body = {"kind": "weigh_tape", "label": f"Tape {n}", "yard": str(cast.ref("Top Barn"))}
    assert isolde.post("instruments/", body).status_code == 201


def _alerts(isolde: Asker, n: int) -> None:
    made = isolde.post(
        "horses/", {"name": f"Thin {n}", "yard": str(cast.ref("Top Barn")), "species": "horse"}
    )
    body = assessment(made.json()["id"], danger_signs=["not_eating"])
    assert isolde.post("assessments/", body).status_code == 201


def _grants(isolde: Asker, n: int) -> None:
    body = {
        "person": f"person{n}@example.org",
        "role": "assessor",
        "yards": [str(cast.ref("Top Barn"))],
        "horses": [str(cast.ref("Marram"))],
    }
    assert isolde.post("grants/", body).status_code == 201


LISTS: dict[str, Callable[[Asker, int], None]] = {
    "yards/": _yards,
    "horses/": _horses,
    f"horses/{cast.ref('Teasel')}/events/": _events,
    "assessments/": _assessments,
    "weighings/": _weighings,
    "instruments/": _instruments,
    "alerts/": _alerts,
    "due/": _horses,
    "grants/": _grants,
    "record/entries/": _yards,
}


@pytest.mark.parametrize("path", LISTS)
def test_twenty_rows_cost_as_many_queries_as_ten(database: str, path: str) -> None:
    isolde = Asker("isolde")
    counted = []
    for upto in (10, 20):
        for n in range(upto - 10, upto):
            LISTS[path](isolde, n)
        with CaptureQueriesContext(connection) as seen:
            said = isolde.get(path).json()
        assert len(said["results"]) >= upto
        counted.append(len(seen))
    assert counted[0] == counted[1]


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


def test_a_link_keeps_the_filters(database: str) -> None:
    isolde = Asker("isolde")
    for n in range(paging.SIZE + 1):
        _horses(isolde, n)
    top_barn = str(cast.ref("Top Barn"))
    said = isolde.get(f"horses/?yard={top_barn}&species=horse").json()
    assert f"yard={top_barn}" in said["next"]
    assert "species=horse" in said["next"]


def test_a_cursor_of_another_organisation_is_none_of_ours(database: str) -> None:
    isolde = Asker("isolde")
    for n in range(paging.SIZE + 1):
        _horses(isolde, n)
    cursor = isolde.get("horses/").json()["next"].partition("cursor=")[2]
    assert Asker("perran").get(f"horses/?cursor={cursor}").status_code == 400
