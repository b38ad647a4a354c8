"""Moving horses: one stay ends, the next begins, and none ever overlaps."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

import pytest

from tests import cast
from tests.actions.record import NOW, entries, racing, refused
from yards.actions import after
from yards.actions import horses as actions
from yards.models import Horse, Stay
from yards.queries import horses
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL = cast.ref("Teasel")
HOUR = timedelta(hours=1)


@pytest.fixture
def heard() -> Iterator[list[str]]:
    """What scoring would be told of."""
    calls: list[str] = []

    def hook(viewer: Viewer, horse: Horse, now: datetime) -> None:
        calls.append(f"{horse.name} moved")

    after.horse_moved.append(hook)
    yield calls
    after.horse_moved.remove(hook)


def stays_of(ref: UUID) -> list[tuple[str, Any, Any]]:
    rows = Stay.objects.filter(horse__ref=ref).select_related("yard").order_by("from_at")
    return [(stay.yard.name, stay.from_at, stay.until_at) for stay in rows]


def move(yard: str, at: Any = None, **other: Any) -> dict[str, Any]:
    return {"yard": str(cast.ref(yard)), **({"at": at.isoformat()} if at else {}), **other}


def test_a_move_closes_one_stay_and_opens_the_next(inside: Inside, heard: list[str]) -> None:
    at = NOW - HOUR
    with inside("isolde") as viewer:
        moved = actions.move_horse(viewer, TEASEL, move("Nether Paddocks", at), now=NOW)
        card = horses.get_horse(viewer, TEASEL)
        ((verb, _, _, said),) = entries(TEASEL)
        assert stays_of(TEASEL) == [
            ("Top Barn", cast.BEGAN, at),
            ("Nether Paddocks", at, None),
        ]
    assert (card.yard.name, card.version, moved.version) == ("Nether Paddocks", 2, 2)
    assert verb == "horse.moved"
    assert said["from"] == str(cast.ref("Top Barn"))
    assert said["to"] == str(cast.ref("Nether Paddocks"))
    assert heard == ["Teasel moved"]


@pytest.mark.parametrize("named", [{}, {"id": str(cast.ref("a move"))}])
def test_the_same_move_again_is_a_replay(
    inside: Inside, heard: list[str], named: dict[str, str]
) -> None:
    raw = move("Nether Paddocks", NOW - HOUR, **named)
    with inside("isolde") as viewer:
        first = actions.move_horse(viewer, TEASEL, raw, now=NOW)
        assert actions.move_horse(viewer, TEASEL, raw, now=NOW) == first
        assert len(stays_of(TEASEL)) == 2
    assert heard == ["Teasel moved"]


def test_a_move_s_id_stands_for_one_move(inside: Inside) -> None:
    named = {"id": str(cast.ref("a move"))}
    clash = (errors.Conflict, [("id", "same_id_other_content")])
    with inside("isolde") as viewer:
        actions.move_horse(viewer, TEASEL, move("Nether Paddocks", **named), now=NOW)
        other = move("Sallow Field", **named)
        assert refused(lambda: actions.move_horse(viewer, TEASEL, other, now=NOW)) == clash
        marram = cast.ref("Marram")
        assert refused(lambda: actions.move_horse(viewer, marram, other, now=NOW)) == clash


def test_moves_that_cannot_be_are_refused_by_field(inside: Inside) -> None:
    cases = [
        (move("Top Barn"), ("yard", "already_there")),
        (move("Sallow Field", NOW + HOUR), ("at", "in_the_future")),
        (move("Sallow Field", cast.BEGAN), ("at", "before_current_stay")),
        (move("Sallow Field", cast.BEGAN - HOUR), ("at", "before_current_stay")),
    ]
    with inside("isolde") as viewer:
        for raw, fault in cases:
            answer = refused(lambda: actions.move_horse(viewer, TEASEL, raw, now=NOW))  # noqa: B023
            assert answer == (errors.Invalid, [fault])
        assert len(stays_of(TEASEL)) == 1
        dead = {"version": 1, "status": "dead"}
        actions.change_horse(viewer, TEASEL, dead, now=NOW)
        gone = refused(lambda: actions.move_horse(viewer, TEASEL, move("Sallow Field"), now=NOW))
        assert gone == (errors.Invalid, [("", "no_longer_here")])


def test_of_eight_moves_at_once_the_stays_never_overlap(inside: Inside) -> None:
    def go(viewer: Viewer) -> str:
        try:
            actions.move_horse(viewer, TEASEL, move("Sallow Field", NOW - HOUR), now=NOW)
        except errors.Refused as refusal:
            return refusal.key
        return "moved"

    assert set(racing("isolde", go)) == {"moved"}
    with inside("isolde"):
        assert [name for name, _, _ in stays_of(TEASEL)] == ["Top Barn", "Sallow Field"]
        assert len(entries(TEASEL)) == 1
