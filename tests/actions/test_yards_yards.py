"""Making and changing yards."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils

from tests import cast
from tests.actions.record import NOW, entries, racing, refused
from yards.actions import after
from yards.actions import yards as actions
from yards.models import Entry, Yard
from yards.queries import yards
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
ISOLDE = f"person:{cast.ref('isolde')}"
TOP_BARN = cast.ref("Top Barn")


def body(**other: Any) -> dict[str, Any]:
    return {
        "id": str(cast.ref("new yard")),
        "name": "Fell Close",
        "time_zone": "Europe/London",
        "hemisphere": "north",
        "spring": {"first": "03-15", "last": "06-15"},
        "vet": {"practice": "Ferrow Vets", "phone": "01632 960118"},
        "quiet_hours": {"from": "21:30", "to": "06:00"},
        **other,
    }


@pytest.fixture
def heard() -> Iterator[list[tuple[str, str]]]:
    """What scoring would be told of."""
    calls: list[tuple[str, str]] = []
    made = lambda viewer, yard, now: calls.append(("made", yard.name))  # noqa: E731
    changed = lambda viewer, yard, now: calls.append(("changed", yard.name))  # noqa: E731
    after.yard_made.append(made)
    after.yard_changed.append(changed)
    yield calls
    after.yard_made.remove(made)
    after.yard_changed.remove(changed)


def test_a_yard_is_made_with_one_entry_and_told_of(
    inside: Inside, heard: list[tuple[str, str]]
) -> None:
    with inside("isolde") as viewer:
        made = actions.make_yard(viewer, body(), now=NOW)
        card = yards.get_yard(viewer, made.ref)
        ((verb, actor, at, said),) = entries(made.ref)
    assert not made.replay
    assert (card.name, card.version, card.created_at) == ("Fell Close", 1, NOW)
    assert card.spring == yards.Spring("03-15", "06-15")
    assert card.vet.phone == "01632 960118"
    assert card.quiet_hours is not None
    assert (verb, actor, at, said["name"]) == ("yard.made", ISOLDE, NOW, "Fell Close")
    assert heard == [("made", "Fell Close")]


def test_the_same_yard_again_is_a_replay_even_after_a_change(
    inside: Inside, heard: list[tuple[str, str]]
) -> None:
    with inside("isolde") as viewer:
        first = actions.make_yard(viewer, body(), now=NOW)
        change = {"version": 1, "name": "Fell End"}
        actions.change_yard(viewer, first.ref, change, now=NOW)
        again = actions.make_yard(viewer, body(), now=NOW)
        assert (again.replay, again.ref, again.receipt) == (True, first.ref, first.receipt)
        assert len(entries(first.ref)) == 2
    assert heard == [("made", "Fell Close")]


def test_the_same_id_with_other_content_is_refused(inside: Inside) -> None:
    with inside("isolde") as viewer:
        actions.make_yard(viewer, body(), now=NOW)
        clash = refused(lambda: actions.make_yard(viewer, body(name="Other"), now=NOW))
        assert clash == (errors.Conflict, [("id", "same_id_other_content")])
        assert Yard.objects.count() == 4
        assert Entry.objects.count() == 1


def test_two_organisations_may_use_one_id(inside: Inside) -> None:
    with inside("isolde") as viewer:
        assert not actions.make_yard(viewer, body(), now=NOW).replay
    with inside("perran") as viewer:
        assert not actions.make_yard(viewer, body(name="Theirs"), now=NOW).replay
        assert yards.get_yard(viewer, cast.ref("new yard")).name == "Theirs"


def test_one_id_from_eight_threads_is_one_yard(inside: Inside) -> None:
    made = racing("isolde", lambda viewer: actions.make_yard(viewer, body(), now=NOW))
    assert sorted(each.replay for each in made) == [False] + [True] * 7
    assert len({each.receipt for each in made}) == 1
    with inside("isolde"):
        assert Yard.objects.filter(ref=cast.ref("new yard")).count() == 1
        assert Entry.objects.count() == 1


def test_a_change_says_what_was_and_what_is(inside: Inside, heard: list[tuple[str, str]]) -> None:
    change = {"version": 1, "spring": {"first": "02-01", "last": "04-30"}, "hemisphere": "north"}
    with inside("isolde") as viewer:
        changed = actions.change_yard(viewer, TOP_BARN, change, now=NOW)
        card = yards.get_yard(viewer, TOP_BARN)
        ((verb, _, _, said),) = entries(TOP_BARN)
    assert (changed.version, card.version) == (2, 2)
    assert card.spring == yards.Spring("02-01", "04-30")
    assert card.vet.practice == "Ferrow Vets"
    assert verb == "yard.changed"
    assert said == {
        "before": {"spring_first": "", "spring_last": ""},
        "after": {"spring_first": "02-01", "spring_last": "04-30"},
    }
    assert heard == [("changed", "Top Barn")]


def test_a_new_name_alone_moves_no_season(inside: Inside, heard: list[tuple[str, str]]) -> None:
    with inside("isolde") as viewer:
        actions.change_yard(viewer, TOP_BARN, {"version": 1, "name": "Upper Barn"}, now=NOW)
        assert Yard.objects.get(ref=TOP_BARN).name_key == "upper barn"
    assert heard == []


def test_a_stale_version_is_refused_and_changes_nothing(inside: Inside) -> None:
    with inside("isolde") as viewer:
        actions.change_yard(viewer, TOP_BARN, {"version": 1, "name": "First"}, now=NOW)
        late = {"version": 1, "name": "Second"}
        stale = refused(lambda: actions.change_yard(viewer, TOP_BARN, late, now=NOW))
        assert stale == (errors.Conflict, [("version", "stale_version")])
        assert yards.get_yard(viewer, TOP_BARN).name == "First"


def test_of_eight_changes_from_one_version_one_is_made(inside: Inside) -> None:
    def change(viewer: Viewer) -> str:
        raw = {"version": 1, "name": "Changed"}
        try:
            actions.change_yard(viewer, TOP_BARN, raw, now=NOW)
        except errors.Conflict:
            return "stale"
        return "made"

    assert sorted(racing("isolde", change)) == ["made"] + ["stale"] * 7
    with inside("isolde"):
        assert len(entries(TOP_BARN)) == 1


@pytest.mark.parametrize("key", ["maud", "tobias", "keziah", "hollis", "device"])
def test_only_a_coordinator_changes_yards(inside: Inside, key: str) -> None:
    with inside(key) as viewer:
        change = {"version": 1, "name": "Mine"}
        assert refused(lambda: actions.make_yard(viewer, body(), now=NOW))[0] is errors.NotAllowed
        known = refused(lambda: actions.change_yard(viewer, TOP_BARN, change, now=NOW))
        assert known[0] is errors.NotAllowed
        assert Entry.objects.count() == 0


@pytest.mark.parametrize("name", ["Larchgill Yard", "no such yard"])
def test_another_organisation_s_yard_is_not_there(inside: Inside, name: str) -> None:
    with inside("isolde") as viewer:
        change = {"version": 1, "name": "Taken"}
        for raw in (change, {"version": "x"}):
            answer = refused(lambda: actions.change_yard(viewer, cast.ref(name), raw, now=NOW))  # noqa: B023
            assert answer == (errors.NotFound, [])


def test_out_of_scope_comes_before_the_role(inside: Inside) -> None:
    with inside("maud") as viewer:
        far = cast.ref("Nether Paddocks")
        answer = refused(lambda: actions.change_yard(viewer, far, {"version": 1}, now=NOW))
        assert answer[0] is errors.NotFound


def test_a_hook_that_fails_undoes_the_yard(inside: Inside) -> None:
    def fail(viewer: Viewer, yard: Yard, now: object) -> None:
        raise errors.Conflict

    def make() -> None:
        with inside("isolde") as viewer:
            actions.make_yard(viewer, body(id=str(uuid_utils.uuid7())), now=NOW)

    after.yard_made.append(fail)
    try:
        assert refused(make)[0] is errors.Conflict
    finally:
        after.yard_made.remove(fail)
    with inside("isolde"):
        assert (Yard.objects.count(), Entry.objects.count()) == (3, 0)
