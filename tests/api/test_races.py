"""One id from eight threads is one row, whoever wins."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.db import connections

from tests import cast
from tests.api import contract
from tests.api.asking import Asker
from tests.doors import counting
from tests.doors.scene import ago, assessment, weighing

THREADS = 8
TEASEL = str(cast.ref("Teasel"))
YARD = {"name": "Long Acre", "time_zone": "Europe/London", "hemisphere": "north"}
HORSE = {"name": "Oxlip", "yard": str(cast.ref("Top Barn")), "species": "horse"}

# path, body, the table that grows by one
CASES: dict[str, tuple[dict[str, Any], str]] = {
    "assessments/": (assessment(TEASEL, danger_signs=[]), "scoring_assessment"),
    "weighings/": (weighing(TEASEL), "scoring_weighing"),
    f"horses/{TEASEL}/concerns/": ({"seen_at": ago(hours=1), "note": "Dull"}, "scoring_concern"),
    f"horses/{TEASEL}/events/": ({"kind": "clipped", "at": ago(hours=1)}, "yards_horseevent"),
    "yards/": (YARD, "yards_yard"),
    "horses/": (HORSE, "yards_horse"),
    "instruments/": ({"kind": "weigh_tape", "label": "Blue"}, "scoring_instrument"),
    "invitations/": (
        {"email": "jonty@example.org", "role": "assessor", "yards": "all"},
        "yards_invitation",
    ),
    "grants/": (
        {"person": str(cast.ref("maud")), "role": "auditor", "yards": "all"},
        "yards_grant",
    ),
}


def _at_once(ask: Callable[[int], int]) -> list[int]:
    barrier = Barrier(THREADS)

    def run(n: int) -> int:
        try:
            barrier.wait()
            return ask(n)
        finally:
            connections.close_all()

    with ThreadPoolExecutor(THREADS) as pool:
        return sorted(pool.map(run, range(THREADS)))


@pytest.mark.parametrize("path", CASES)
def test_one_id_from_eight_threads_is_one_row(database: str, path: str) -> None:
    contract.published()
    body, table = CASES[path]
    sent = {**body, "id": str(uuid_utils.uuid7())}
    before = counting.rows()
    statuses = _at_once(lambda _: Asker("isolde").post(path, sent).status_code)
    assert statuses == [200] * (THREADS - 1) + [201]
    after = counting.rows()
    assert after[table] == before[table] + 1
    assert after["yards_entry"] == before["yards_entry"] + 1


WEIGHED = {"method": "estimate", "weight_kg": "452.0"}


def test_one_score_with_a_weight_from_eight_threads_is_one_of_each(database: str) -> None:
    contract.published()
    sent = assessment(TEASEL, weighing=WEIGHED, id=str(uuid_utils.uuid7()))
    before = counting.rows()
    statuses = _at_once(lambda _: Asker("isolde").post("assessments/", sent).status_code)
    assert statuses == [200] * (THREADS - 1) + [201]
    after = counting.rows()
    for table in ("scoring_assessment", "scoring_weighing", "yards_entry"):
        assert after[table] == before[table] + 1, table


@pytest.mark.parametrize("kind", ["assessments", "weighings"])
def test_one_correction_from_eight_threads_is_one_and_the_others_are_told_so(
    database: str, kind: str
) -> None:
    contract.published()
    body = assessment(TEASEL) if kind == "assessments" else weighing(TEASEL)
    first = Asker("isolde").post(f"{kind}/", body).json()
    change = {"note": "Felt again"} if kind == "assessments" else {"weight_kg": "452.0"}
    better = {**body, **change, "reason": "Misread", "id": str(uuid_utils.uuid7())}
    path = f"{kind}/{first['id']}/correct/"
    statuses = _at_once(lambda _: Asker("isolde").post(path, better).status_code)
    assert statuses == [200] * (THREADS - 1) + [201]


def _record(path: str = "assessments/", **changes: Any) -> Callable[[int], int]:
    """Record an assessment whose note is the thread's number."""

    def ask(n: int) -> int:
        body = assessment(TEASEL, note=f"{n}", **changes)
        return Asker("isolde").post(path, body).status_code

    return ask


def test_one_id_with_eight_contents_is_one_row_and_seven_conflicts(database: str) -> None:
    contract.published()
    before = counting.rows()
    statuses = _at_once(_record(id=str(uuid_utils.uuid7())))
    assert statuses == [201] + [409] * (THREADS - 1)
    assert counting.rows()["scoring_assessment"] == before["scoring_assessment"] + 1


def test_eight_readings_of_one_horse_at_once_are_all_kept(database: str) -> None:
    """And open one alert between them."""
    contract.published()
    before = counting.rows()
    statuses = _at_once(_record(danger_signs=["not_eating"]))
    assert statuses == [201] * THREADS
    after = counting.rows()
    assert after["scoring_assessment"] == before["scoring_assessment"] + THREADS
    signs = [
        each
        for each in Asker("isolde").get(f"alerts/?horse={TEASEL}").json()["results"]
        if each["rule"] == "danger_signs"
    ]
    assert len(signs) == 1


def test_eight_corrections_at_once_supersede_once(database: str) -> None:
    contract.published()
    first = Asker("isolde").post("assessments/", assessment(TEASEL)).json()
    statuses = _at_once(_record(f"assessments/{first['id']}/correct/", reason="Misread"))
    assert statuses == [201] + [409] * (THREADS - 1)
