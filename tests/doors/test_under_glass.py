"""Break-glass as a caller of every route: it opens what is looked at by session, and nothing else.

Maud, who assesses in two yards, looks under break-glass. What she reads is answered as an auditor's
who is shown everything, and what she writes as without it; of the third yard, and of a horse there
that is restricted to others, she reads all and writes nothing. Tokens know nothing of it.
"""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests import cast, copies
from tests.conftest import as_somebody
from tests.doors import cells, counting, knocking
from tests.doors.cells import Cell
from tests.doors.scene import Scene
from tests.doors.test_cells import plain
from yards.actions import glass, restrictions

# Where an auditor is refused what break-glass shows: the vet's words, and one's own affairs.
SHOWN = {
    "api_questions": 200,
    "api_horse_questions": 200,
    "api_clinical_notes": 200,
    "scoring:questions": 200,
    "scoring:notes": 200,
    "scoring:end_away": 403,  # her own absence, which an auditor would have none of
}
Opened = Callable[[], AbstractContextManager[Scene]]


@pytest.fixture(scope="session")
def _broken(built: tuple[str, Scene], django_db_blocker: Any) -> Iterator[str]:
    """The scene with Maud's break-glass in force, and a horse of the third yard restricted."""
    with copies.cloned(built[0], copies.a_name()) as name, django_db_blocker.unblock():
        with copies.at(name):
            _break(datetime.now(UTC))
        yield name


def _break(now: datetime) -> None:
    # The copy serves for as long as the run takes, so the hour is a later one: it has an end only.
    at = now + timedelta(days=1)
    with as_somebody("maud") as asker:
        asked = glass.ask(asker, {"reason": "Horse down, nobody there"}, now=at)
    with as_somebody("isolde") as approver:
        glass.approve(approver, asked, now=at)
        sealed = {"people": [str(cast.ref("keziah"))], "reason": "Seized"}
        restrictions.restrict(approver, cast.ref("Marram"), sealed, now=now)


@pytest.fixture
def opened(_broken: str, built: tuple[str, Scene], django_db_blocker: Any) -> Opened:
    """Open a fresh copy of it."""

    @contextmanager
    def fresh() -> Iterator[Scene]:
        with copies.cloned(_broken) as name, django_db_blocker.unblock(), copies.at(name):
            yield built[1]

    return fresh


def expected(cell: Cell) -> int:
    """What is answered to what is there: an auditor's status to a look, her own to a write."""
    if cell.row.method != "GET":
        return cell.row.expected["maud"]
    return SHOWN.get(cell.row.name, cell.row.expected["hollis"])


def _is_of_no_alert(cell: Cell) -> bool:
    return cell.row.ids.get("id") not in {"fat_in_spring", "danger_signs"}


def asked(scene: Scene, target: str, *, is_api: bool) -> dict[str, tuple[int, int, str]]:
    """Ask for all there; return what was not answered as it should be, and with what."""
    wrong = {}
    # What is done about alerts comes first: a reading may end one.
    for cell in sorted(cells.under_glass(target), key=_is_of_no_alert):
        if cell.is_api is is_api:
            found, should = cell.ask_by_session(scene), expected(cell)
            if target != cells.OWN and cell.row.method != "GET":
                should = 404 if should < 400 else found.status_code
            if found.status_code != should:
                wrong[str(cell)] = (found.status_code, should, knocking.told(found)[:300])
    return wrong


def test_what_is_looked_at_is_open_and_what_is_written_is_as_the_grant_has_it(
    opened: Opened,
) -> None:
    """Each write that the grant allows is let through once, one after the other."""
    for is_api in (True, False):
        with opened() as scene:
            assert asked(scene, cells.OWN, is_api=is_api) == {}


def test_of_another_yard_all_is_read_and_nothing_written(opened: Opened) -> None:
    with opened() as scene:
        before = counting.rows()
        for is_api in (True, False):
            assert asked(scene, cells.OTHER_YARD, is_api=is_api) == {}
        changed = {table for table, many in counting.rows().items() if many != before[table]}
        assert changed == counting.LEDGER, "each look is entered, and nothing else is"


def test_what_is_theirs_is_answered_as_what_is_nowhere(opened: Opened) -> None:
    with opened() as scene:
        theirs, nowhere = cells.under_glass(cells.THEIRS), cells.under_glass(cells.NOWHERE)
        for one, other in zip(theirs, nowhere, strict=True):
            found, none = one.ask_by_session(scene), other.ask_by_session(scene)
            assert found.status_code == none.status_code, str(one)
            assert found.status_code in ({404} if expected(one) < 400 else {403, 404}), str(one)
            assert plain(found) == plain(none), str(one)


def test_a_token_knows_nothing_of_it(opened: Opened) -> None:
    with opened() as scene:
        for cell in cells.under_glass(cells.OWN):
            if cell.is_api and cell.row.method == "GET":
                answer = knocking.knock(cell.row, scene, "maud")
                assert answer.status_code == cell.row.expected["maud"], str(cell)
                assert b"Marram" not in answer.content, str(cell)
        for cell in cells.under_glass(cells.OTHER_YARD):
            if cell.is_api:
                answer = knocking.knock(cell.row, scene, "maud", **cell.other(scene))
                may = cell.row.expected["maud"] < 400
                assert answer.status_code in ({404} if may else {403, 404}), str(cell)
