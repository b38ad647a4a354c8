"""Batches: each item by itself, in order; a bad one never blocks another."""

from typing import Any

import uuid_utils.compat as uuid_utils

from tests import cast
from tests.api.asking import Asker
from tests.doors import counting
from tests.doors.scene import ago, assessment, weighing

TEASEL, GORSE = str(cast.ref("Teasel")), str(cast.ref("Gorse"))
HORSES = [str(cast.ref(name)) for name in ("Teasel", "Sorrel Lad", "Tansy", "Marram")]


def _item(n: int, **changes: Any) -> dict[str, Any]:
    plain = assessment(HORSES[n % len(HORSES)], taken_at=ago(hours=600 - n))
    return {**plain, "id": str(uuid_utils.uuid7()), **changes}


def test_five_hundred_mixed_items_are_each_answered_in_order(database: str) -> None:
    """A tenth of them are new, since to record one costs the most; the others name those."""
    items: list[Any] = []
    expected: list[int] = []
    for n in range(500):
        kind = n % 10
        if kind == 3:
            items.append(_item(n, horse=GORSE))
            expected.append(422)
        elif kind in {4, 7}:
            items.append({**items[n - kind], "note": "not what it was"})
            expected.append(409)
        elif kind == 9:
            items.append(["no", "object"])
            expected.append(422)
        elif kind:
            items.append(dict(items[n - kind]))
            expected.append(200)
        else:
            items.append(_item(n))
            expected.append(201)
    tobias = Asker("tobias")
    response = tobias.post("assessments/batch/", {"items": items})
    assert response.status_code == 200
    results = response.json()["results"]
    assert [each["status"] for each in results] == expected
    for item, result in zip(items, results, strict=True):
        named = item["id"] if isinstance(item, dict) else None
        assert result["id"] == named
        assert ("assessment" in result) == (result["status"] in {200, 201})
        assert ("problem" in result) == (result["status"] in {409, 422})
    # Sent again, as after a lost answer: the first fifty hold some of each kind.
    again = tobias.post("assessments/batch/", {"items": items[:50]}).json()["results"]
    statuses = [200 if each == 201 else each for each in expected[:50]]
    assert [each["status"] for each in again] == statuses


def test_a_bad_item_leaves_nothing_behind(database: str) -> None:
    before = counting.rows()
    bad = {"items": [_item(0, horse=GORSE), _item(1, manner="smelt")]}
    response = Asker("tobias").post("assessments/batch/", bad)
    assert [each["status"] for each in response.json()["results"]] == [422, 422]
    assert counting.rows() == before
    problem = response.json()["results"][1]["problem"]
    assert problem["errors"][0]["field"] == "manner"


def test_what_is_no_batch_is_refused_as_a_whole(database: str) -> None:
    tobias = Asker("tobias")
    for body, field in (
        ({}, "items"),
        ({"items": {}}, "items"),
        ({"items": [{}] * 501}, "items"),
        ({"items": [], "extra": 1}, "extra"),
    ):
        response = tobias.post("assessments/batch/", body)
        assert response.status_code == 422
        assert response.json()["errors"][0]["field"] == field
    assert tobias.post("assessments/batch/", {"items": []}).json() == {"results": []}


def test_weighings_come_in_batches_too(database: str) -> None:
    items = [weighing(TEASEL), weighing(GORSE)]
    results = Asker("tobias").post("weighings/batch/", {"items": items}).json()["results"]
    assert [each["status"] for each in results] == [201, 422]
    assert results[0]["weighing"]["weight_kg"] == "471.0"
