"""Every call by every caller has the status that the matrix says, and a refusal writes nothing."""

from collections.abc import Callable

import pytest

from tests.api.asking import Answer
from tests.doors import counting, knocking, matrix
from tests.doors.conftest import Stage
from tests.doors.matrix import Row
from tests.doors.scene import Scene

Knock = Callable[[Row, Scene, str | None], Answer]


def _writes(row: Row, status: int) -> bool:
    return row.method != "GET" and status < 400


def _held(row: Row, knock: Knock, gallery: Stage, stage: Stage) -> None:
    """Hold a row to its statuses; whoever writes does so on a stage of their own."""
    with gallery() as scene:
        # An auditor's look is entered before it is refused, so a look may add an entry.
        before = counting.rows() if row.method != "GET" else {}
        for caller, status in row.expected.items():
            if not _writes(row, status):
                response = knock(row, scene, caller)
                assert response.status_code == status, (caller, knocking.told(response))
        assert not before or counting.rows() == before
    for caller, status in row.expected.items():
        if _writes(row, status):
            with stage() as scene:
                response = knock(row, scene, caller)
                assert response.status_code == status, (caller, knocking.told(response))


@pytest.mark.parametrize("row", matrix.API, ids=str)
def test_each_caller_is_answered_as_the_matrix_says(gallery: Stage, stage: Stage, row: Row) -> None:
    _held(row, knocking.knock, gallery, stage)


@pytest.mark.parametrize("row", matrix.PAGES, ids=str)
def test_each_caller_sees_the_page_as_the_matrix_says(
    gallery: Stage, stage: Stage, row: Row
) -> None:
    _held(row, knocking.knock_on_page, gallery, stage)
