"""Every call by every caller has the status that the matrix says, and a refusal writes nothing."""

import pytest

from tests.doors import counting, knocking, matrix
from tests.doors.conftest import Stage
from tests.doors.matrix import Row


def _writes(row: Row, status: int) -> bool:
    return row.method != "GET" and status < 400


@pytest.mark.parametrize("row", matrix.API, ids=str)
def test_each_caller_is_answered_as_the_matrix_says(stage: Stage, row: Row) -> None:
    with stage() as scene:
        before = counting.rows()
        for caller, status in row.expected.items():
            if not _writes(row, status):
                response = knocking.knock(row, scene, caller)
                assert response.status_code == status, (caller, knocking.told(response))
        if row.method != "GET":
            assert counting.rows() == before
    for caller, status in row.expected.items():
        if _writes(row, status):
            with stage() as scene:
                response = knocking.knock(row, scene, caller)
                assert response.status_code == status, (caller, knocking.told(response))


@pytest.mark.parametrize("row", matrix.PAGES, ids=str)
def test_each_caller_sees_the_page_as_the_matrix_says(stage: Stage, row: Row) -> None:
    with stage() as scene:
        for caller, status in row.expected.items():
            if not _writes(row, status):
                before = counting.rows()
                response = knocking.knock_on_page(row, scene, caller)
                assert response.status_code == status, (caller, knocking.told(response))
                # An auditor's look is entered before it is refused, so a look may add an entry.
                assert row.method == "GET" or counting.rows() == before
    for caller, status in row.expected.items():
        if _writes(row, status):
            with stage() as scene:
                response = knocking.knock_on_page(row, scene, caller)
                assert response.status_code == status, (caller, knocking.told(response))
