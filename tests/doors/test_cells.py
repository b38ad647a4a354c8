"""Whoever may do nothing any more, and whatever is not there for somebody, route by route.

``test_matrix`` asks every route for what is there; here it is asked for what stands in another
yard, in the other organisation, and nowhere, and by those whose access ended. Together they are
every route, method, caller and target.
"""

import re
from collections.abc import Iterator

import pytest

from tests.api.asking import Answer
from tests.doors import counting, ended, knocking, matrix
from tests.doors.conftest import Stage
from tests.doors.matrix import Row
from tests.doors.scene import Scene, fresh
from tests.doors.test_other_organisation import OUT_OF_SCOPE

LEAST = 3000
ROWS = [*((row, True) for row in matrix.API), *((row, False) for row in matrix.PAGES)]
NAMED = [(row, is_api) for row, is_api in ROWS if "id" in row.ids]
# Of one's own, not of an organisation: open to whoever can sign in.
OF_ONESELF = re.compile("account|mfa|usersessions|yards:(organisations|arrive|join|you|me)")
# What differs between any two answers: a form's token, the address itself, the time of printing.
_CHANGING = re.compile(
    rb'csrfmiddlewaretoken" value="[^"]*"|[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}|\d\d:\d\d'
)


def name_of(each: tuple[Row, bool]) -> str:
    """A test's name: the row's."""
    return str(each[0])


def _asked(row: Row, is_api: bool, scene: Scene, caller: str, **other: str) -> Answer:
    return (knocking.knock if is_api else knocking.knock_on_page)(row, scene, caller, **other)


def inside(row: Row, is_api: bool) -> Iterator[str]:
    """Those of the organisation who can send the row at all."""
    for caller in row.expected:
        if caller not in {None, "perran"}:
            yield str(caller)


def enders(is_api: bool) -> tuple[str, ...]:
    """Those whose access ended: people, and tokens."""
    return (*ended.PEOPLE, *ended.TOKENS) if is_api else ended.PEOPLE


def is_kept(row: Row, is_api: bool) -> bool:
    """Whether a row is behind a sign-in, and of an organisation."""
    return row.expected[None] == (401 if is_api else 302) and not OF_ONESELF.match(row.name)


@pytest.mark.parametrize("each", [each for each in ROWS if is_kept(*each)], ids=name_of)
def test_whose_access_ended_does_nothing(gallery: Stage, each: tuple[Row, bool]) -> None:
    row, is_api = each
    with gallery() as scene:
        before = counting.rows() if row.method != "GET" else {}
        for caller in enders(is_api):
            answer = _asked(row, is_api, scene, caller)
            # Whose account was shut, or who has no grant any more, is told so.
            expected = 401 if is_api else 403
            assert answer.status_code == expected, (caller, knocking.told(answer))
            assert b"Teasel" not in b"".join(answer)
        assert not before or counting.rows() == before


@pytest.mark.parametrize("each", NAMED, ids=name_of)
def test_what_is_theirs_is_answered_as_what_is_nowhere(
    gallery: Stage, each: tuple[Row, bool]
) -> None:
    row, is_api = each
    with gallery() as scene:
        for caller in inside(row, is_api):
            nowhere = _asked(row, is_api, scene, caller, id=fresh("nowhere"))
            it = scene.theirs.get(row.ids["id"], fresh("it"))
            there = _asked(row, is_api, scene, caller, id=it)
            assert nowhere.status_code == there.status_code, (caller, knocking.told(there))
            may = row.expected[caller] < 400
            assert there.status_code in ({404} if may else {403, 404}), (caller, there.status_code)
            assert _plain(nowhere) == _plain(there), caller


def _plain(answer: Answer) -> bytes:
    """An answer without what differs between any two."""
    return _CHANGING.sub(b"", answer.content)


@pytest.mark.parametrize(
    "each", [each for each in NAMED if each[0].ids["id"] in OUT_OF_SCOPE], ids=name_of
)
def test_what_stands_in_another_yard_is_not_found(gallery: Stage, each: tuple[Row, bool]) -> None:
    row, is_api = each
    with gallery() as scene:
        hidden = scene[OUT_OF_SCOPE[row.ids["id"]]]
        for caller in ("maud", "device"):
            if caller in row.expected:
                answer = _asked(row, is_api, scene, caller, id=hidden)
                may = row.expected[caller] < 400
                assert answer.status_code in ({404} if may else {403, 404}), caller


def test_the_cells_are_as_many_as_they_should_be() -> None:
    own = sum(len(row.expected) for row, _ in ROWS)
    elsewhere = sum(2 * len([*inside(*each)]) for each in NAMED)
    over = sum(len(enders(is_api)) for row, is_api in ROWS if is_kept(row, is_api))
    assert own + elsewhere + over >= LEAST
