"""Whoever may do nothing any more, and whatever is not there for somebody, route by route.

``test_matrix`` asks every route for what is there; here it is asked for what stands in another
yard, in the other organisation, and nowhere, and by those whose access ended. With
``test_under_glass`` they are every route, method, caller and target.
"""

import re
from itertools import groupby

import pytest

from tests.api.asking import Answer
from tests.doors import cells, counting, ended, knocking
from tests.doors.cells import NAMED, ROWS, name_of
from tests.doors.conftest import Stage
from tests.doors.matrix import Row

LEAST = 3000
CALLERS = {
    *("isolde", "maud", "tobias", "keziah", "hollis", "device", "perran", None),
    cells.UNDER_GLASS,
    *ended.PEOPLE,
    *ended.TOKENS,
}
# What differs between any two answers: a form's token, the address itself, the time of printing.
_CHANGING = re.compile(
    rb'csrfmiddlewaretoken" value="[^"]*"|[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}|\d\d:\d\d'
)


@pytest.mark.parametrize("each", [each for each in ROWS if cells.is_kept(*each)], ids=name_of)
def test_whose_access_ended_does_nothing(gallery: Stage, each: tuple[Row, bool]) -> None:
    """Nor does nobody; and what stands elsewhere is not so much as looked for."""
    row, is_api = each
    with gallery() as scene:
        before = counting.rows() if row.method != "GET" else {}
        for cell in cells.over(row, is_api):
            answer = cell.ask(scene)
            # Whose account was shut, or who has no grant any more, is told so.
            nobody = 401 if is_api else 302
            expected = nobody if is_api or cell.caller is None else 403
            assert answer.status_code == expected, (str(cell), knocking.told(answer))
            assert b"Teasel" not in b"".join(answer)
        assert not before or counting.rows() == before


@pytest.mark.parametrize("each", NAMED, ids=name_of)
def test_what_is_theirs_is_answered_as_what_is_nowhere(
    gallery: Stage, each: tuple[Row, bool]
) -> None:
    row, is_api = each
    with gallery() as scene:
        for theirs, nowhere in cells.elsewhere(row, is_api):
            one, other = theirs.ask(scene), nowhere.ask(scene)
            assert one.status_code == other.status_code, (str(theirs), knocking.told(one))
            may = row.expected[theirs.caller] < 400
            assert one.status_code in ({404} if may else {403, 404}), str(theirs)
            assert plain(one) == plain(other), str(theirs)


def plain(answer: Answer) -> bytes:
    """An answer without what differs between any two."""
    return _CHANGING.sub(b"", answer.content)


@pytest.mark.parametrize("each", cells.HIDDEN, ids=name_of)
def test_what_stands_in_another_yard_is_not_found(gallery: Stage, each: tuple[Row, bool]) -> None:
    row, is_api = each
    with gallery() as scene:
        for cell in cells.other_yard(row, is_api):
            may = row.expected[cell.caller] < 400
            answer = cell.ask(scene)
            assert answer.status_code in ({404} if may else {403, 404}), str(cell)


def test_the_cells_are_as_many_as_they_should_be() -> None:
    """What the tests go through is counted, each cell once; no caller or target is left out."""
    every = [*cells.every()]
    assert len({str(each) for each in every}) == len(every) >= LEAST
    assert {each.caller for each in every} == CALLERS
    targets = {
        target: {each.caller for each in found}
        for target, found in groupby(sorted(every, key=_target), key=_target)
    }
    assert set(targets) == {cells.OWN, cells.OTHER_YARD, cells.THEIRS, cells.NOWHERE}
    for target in (cells.THEIRS, cells.NOWHERE):
        assert targets[target] == CALLERS - {"perran"}


def _target(cell: cells.Cell) -> str:
    return cell.target
