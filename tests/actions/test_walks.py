"""The walking order of a yard: remembered, versioned, and left by whoever moves away."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests import cast
from tests.actions.record import NOW, entries, refused
from tests.api.asking import Asker
from yards import isolation
from yards.access import viewers
from yards.actions import horses, walks
from yards.models import Horse, User, Yard
from yards.queries import walks as queries
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TOP_BARN, SALLOW = cast.ref("Top Barn"), cast.ref("Sallow Field")
TEASEL, SORREL = cast.ref("Teasel"), cast.ref("Sorrel Lad")


def order(inside: Inside, by: str, *refs: object, version: int = 1, yard: Any = TOP_BARN) -> int:
    with inside(by) as viewer:
        raw = {"horses": [str(ref) for ref in refs], "version": version}
        return walks.order_walk(viewer, yard, raw, now=NOW).version


def names(inside: Inside, by: str = "maud", yard: Any = TOP_BARN) -> list[str]:
    with inside(by) as viewer:
        return [each.name for each in queries.get_walk(viewer, yard).horses]


def test_without_an_order_horses_are_walked_by_name(inside: Inside) -> None:
    assert names(inside) == ["Sorrel Lad", "Teasel"]


def test_an_order_is_remembered_for_everybody(inside: Inside) -> None:
    assert order(inside, "maud", TEASEL, SORREL) == 2
    for caller in ("maud", "tobias", "isolde", "hollis"):
        assert names(inside, caller) == ["Teasel", "Sorrel Lad"]


def test_an_entry_says_the_order_before_and_after(inside: Inside) -> None:
    order(inside, "maud", TEASEL)
    order(inside, "tobias", SORREL, TEASEL, version=2)
    with inside("isolde"):
        first, second = entries(TOP_BARN)
    assert first[0] == "yard.walk_ordered"
    assert first[1] == f"person:{cast.ref('maud')}"
    assert first[3] == {"before": {"horses": []}, "after": {"horses": [str(TEASEL)]}}
    assert second[3]["before"] == {"horses": [str(TEASEL)]}
    assert second[3]["after"] == {"horses": [str(SORREL), str(TEASEL)]}


def test_a_stale_order_is_refused_and_changes_nothing(inside: Inside) -> None:
    order(inside, "maud", TEASEL, SORREL)
    found = refused(lambda: order(inside, "tobias", SORREL, TEASEL))
    assert found == (errors.Conflict, [("version", "stale_version")])
    assert names(inside) == ["Teasel", "Sorrel Lad"]


def test_whoever_is_left_out_comes_last_by_name(inside: Inside) -> None:
    with inside("isolde") as viewer:
        for name in ("Zinnia", "Aster"):
            raw = {"name": name, "yard": str(TOP_BARN), "species": "horse"}
            horses.register_horse(viewer, raw, now=NOW)
    order(inside, "maud", TEASEL)
    assert names(inside) == ["Teasel", "Aster", "Sorrel Lad", "Zinnia"]


def test_a_horse_that_moves_leaves_the_order_and_does_not_find_its_place_again(
    inside: Inside,
) -> None:
    order(inside, "maud", TEASEL, SORREL)
    for hours, yard in enumerate((SALLOW, TOP_BARN)):
        with inside("isolde") as viewer:
            at = NOW + timedelta(hours=hours)
            horses.move_horse(viewer, TEASEL, {"yard": str(yard)}, now=at)
            assert Horse.objects.get(ref=TEASEL).walk_place is None
    assert names(inside) == ["Sorrel Lad", "Teasel"]


def test_a_horse_that_is_away_keeps_its_place(inside: Inside) -> None:
    order(inside, "maud", TEASEL, SORREL)
    with inside("isolde") as viewer:
        horses.change_horse(viewer, TEASEL, {"status": "away", "version": 1}, now=NOW)
    assert names(inside) == ["Sorrel Lad"]
    order(inside, "maud", SORREL, version=2)
    with inside("isolde") as viewer:
        horses.change_horse(viewer, TEASEL, {"status": "present", "version": 2}, now=NOW)
    assert set(names(inside)) == {"Teasel", "Sorrel Lad"}
    with inside("isolde"):
        assert Horse.objects.get(ref=TEASEL).walk_place == 1


@pytest.mark.parametrize(
    ("horse", "key"),
    [
        ("Tansy", "not_in_this_yard"),
        ("Marram", "unknown_reference"),
        ("Gorse", "unknown_reference"),
    ],
)
def test_a_horse_that_does_not_stand_there_is_refused_at_its_place(
    inside: Inside, horse: str, key: str
) -> None:
    found = refused(lambda: order(inside, "maud", TEASEL, cast.ref(horse)))
    assert found == (errors.Invalid, [("horses.1", key)])
    with inside("isolde"):
        assert Yard.objects.get(ref=TOP_BARN).walk_version == 1


def test_who_may_not_is_refused(inside: Inside) -> None:
    assert refused(lambda: order(inside, "hollis", TEASEL))[0] is errors.NotAllowed
    assert refused(lambda: order(inside, "device", TEASEL))[0] is errors.NotAllowed
    nether = cast.ref("Nether Paddocks")
    assert refused(lambda: order(inside, "maud", yard=nether))[0] is errors.NotFound
    assert refused(lambda: order(inside, "perran", TEASEL))[0] is errors.NotFound


def test_whoever_knows_only_some_of_the_horses_sets_no_order(inside: Inside) -> None:
    """Else they would set the others' places without seeing them."""
    grant = {"person": "jonty@example.org", "name": "Jonty", "role": "assessor"}
    made = Asker("isolde").post("grants/", {**grant, "horses": [str(TEASEL)]})
    assert made.status_code == 201
    person = User.objects.get(email="jonty@example.org").id
    jonty = viewers.viewer_of_person(person, datetime.now(UTC))
    with isolation.of(jonty):
        walk = queries.get_walk(jonty, TOP_BARN)
        assert [each.name for each in walk.horses] == ["Teasel"]
        assert not walk.may_order
        raw = {"horses": [str(TEASEL)], "version": 1}
        found = refused(lambda: walks.order_walk(jonty, TOP_BARN, raw, now=NOW))
        assert found[0] is errors.NotAllowed
