"""Registering, changing and moving horses."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any
from uuid import UUID

import pytest

from tests import cast
from tests.actions.record import NOW, entries, racing, refused
from yards.actions import after
from yards.actions import horses as actions
from yards.models import Entry, Horse, Stay
from yards.queries import horses
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
ISOLDE = f"person:{cast.ref('isolde')}"
TEASEL, NEW = cast.ref("Teasel"), cast.ref("new horse")
HOUR = timedelta(hours=1)
UNKNOWN_YARD = (errors.Invalid, [("yard", "unknown_reference")])
TO_BARN = {"yard": str(cast.ref("Top Barn"))}
ELSEWHERE = ["Larchgill Yard", "no such yard"]


def body(**other: Any) -> dict[str, Any]:
    return {
        "id": str(NEW),
        "name": "Burdock",
        "yard": str(cast.ref("Top Barn")),
        "species": "horse",
        "kind": "cob",
        "sex": "gelding",
        "born": "2016",
        "use": "leisure",
        "laminitis": "past",
        "endocrine": "none",
        "height_cm": "148.0",
        **other,
    }


@pytest.fixture
def heard() -> Iterator[list[str]]:
    """What scoring would be told of, in order."""
    calls: list[str] = []
    lists = {
        "made": after.horse_made,
        "changed": after.horse_changed,
        "moved": after.horse_moved,
        "ended": after.horse_ended,
    }
    hooks = {}
    for name, hooked in lists.items():
        hooks[name] = lambda viewer, horse, now, name=name: calls.append(f"{horse.name} {name}")
        hooked.append(hooks[name])
    yield calls
    for name, hooked in lists.items():
        hooked.remove(hooks[name])


def stays_of(ref: UUID) -> list[tuple[str, Any, Any]]:
    rows = Stay.objects.filter(horse__ref=ref).select_related("yard").order_by("from_at")
    return [(stay.yard.name, stay.from_at, stay.until_at) for stay in rows]


def test_a_horse_is_registered_with_its_first_stay_and_one_entry(
    inside: Inside, heard: list[str]
) -> None:
    with inside("isolde") as viewer:
        made = actions.register_horse(viewer, body(), now=NOW)
        card = horses.get_horse(viewer, NEW)
        ((verb, actor, at, said),) = entries(NEW)
        assert stays_of(NEW) == [("Top Barn", NOW, None)]
    assert (made.ref, made.replay) == (NEW, False)
    assert (card.name, card.yard.name, card.born, card.status) == (
        "Burdock",
        "Top Barn",
        "2016",
        "present",
    )
    assert str(card.height_cm) == "148.0"
    assert (verb, actor, at) == ("horse.registered", ISOLDE, NOW)
    assert (said["name"], said["laminitis"]) == ("Burdock", "past")
    assert heard == ["Burdock made"]


def test_the_first_stay_begins_when_the_horse_arrived(inside: Inside) -> None:
    arrived = NOW - timedelta(days=40)
    with inside("isolde") as viewer:
        actions.register_horse(viewer, body(arrived_at=arrived.isoformat()), now=NOW)
        assert stays_of(NEW) == [("Top Barn", arrived, None)]
        later = body(id=None, arrived_at=(NOW + HOUR).isoformat())
        answer = refused(lambda: actions.register_horse(viewer, later, now=NOW))
        assert answer == (errors.Invalid, [("arrived_at", "in_the_future")])


def test_a_replay_answers_as_at_first_and_a_clash_is_refused(
    inside: Inside, heard: list[str]
) -> None:
    with inside("isolde") as viewer:
        first = actions.register_horse(viewer, body(), now=NOW)
        actions.change_horse(viewer, NEW, {"version": 1, "name": "Dock"}, now=NOW)
        again = actions.register_horse(viewer, body(height_cm="148"), now=NOW + HOUR)
        assert (again.replay, again.receipt) == (True, first.receipt)
        clash = refused(lambda: actions.register_horse(viewer, body(born="2017"), now=NOW))
        assert clash == (errors.Conflict, [("id", "same_id_other_content")])
        assert len(entries(NEW)) == 2
        assert len(stays_of(NEW)) == 1
    assert heard == ["Burdock made", "Dock changed"]


def test_one_id_from_eight_threads_is_one_horse(inside: Inside) -> None:
    made = racing("isolde", lambda viewer: actions.register_horse(viewer, body(), now=NOW))
    assert sorted(each.replay for each in made) == [False] + [True] * 7
    with inside("isolde"):
        assert Horse.objects.filter(ref=NEW).count() == 1
        assert len(stays_of(NEW)) == 1
        assert len(entries(NEW)) == 1


@pytest.mark.parametrize("name", ELSEWHERE)
def test_a_yard_elsewhere_in_a_body_is_unknown(inside: Inside, name: str) -> None:
    with inside("isolde") as viewer:
        yard = str(cast.ref(name))
        register = refused(lambda: actions.register_horse(viewer, body(yard=yard), now=NOW))
        move = refused(lambda: actions.move_horse(viewer, TEASEL, {"yard": yard}, now=NOW))
        assert register == move == UNKNOWN_YARD
        assert Entry.objects.count() == 0


def test_an_unknown_animal_may_be_registered_by_whoever_scores_in_that_yard(
    inside: Inside,
) -> None:
    stray = {"id": str(NEW), "name": "Bay by the gate", "species": "horse", "is_unknown": True}
    with inside("maud") as viewer:
        known = {**body(), "is_unknown": False}
        assert refused(lambda: actions.register_horse(viewer, known, now=NOW))[0] is (
            errors.NotAllowed
        )
        far = {**stray, "yard": str(cast.ref("Nether Paddocks"))}
        assert refused(lambda: actions.register_horse(viewer, far, now=NOW)) == UNKNOWN_YARD
        near = {**stray, "yard": str(cast.ref("Sallow Field"))}
        actions.register_horse(viewer, near, now=NOW)
        assert horses.get_horse(viewer, NEW).is_unknown
    for key in ("hollis", "device"):
        with inside(key) as viewer:
            answer = refused(lambda: actions.register_horse(viewer, near, now=NOW))
            assert answer[0] is errors.NotAllowed


def test_a_change_says_what_was_and_what_is(inside: Inside, heard: list[str]) -> None:
    with inside("isolde") as viewer:
        change = {"version": 1, "laminitis": "within_a_year", "use": "leisure"}
        assert actions.change_horse(viewer, TEASEL, change, now=NOW).version == 2
        assert horses.get_horse(viewer, TEASEL).laminitis == "within_a_year"
        ((verb, _, _, said),) = entries(TEASEL)
    assert verb == "horse.changed"
    assert said == {"before": {"laminitis": "never"}, "after": {"laminitis": "within_a_year"}}
    assert heard == ["Teasel changed"]


def test_a_stale_version_is_refused(inside: Inside) -> None:
    with inside("isolde") as viewer:
        actions.change_horse(viewer, TEASEL, {"version": 1, "name": "First"}, now=NOW)
        late = {"version": 1, "name": "Second"}
        answer = refused(lambda: actions.change_horse(viewer, TEASEL, late, now=NOW))
        assert answer == (errors.Conflict, [("version", "stale_version")])
        assert horses.get_horse(viewer, TEASEL).name == "First"


@pytest.mark.parametrize("status", ["dead", "rehomed"])
def test_an_end_closes_the_stay_and_a_return_opens_one(
    inside: Inside, heard: list[str], status: str
) -> None:
    ended = NOW - HOUR
    with inside("isolde") as viewer:
        raw = {"version": 1, "status": status, "ended_at": ended.isoformat()}
        actions.change_horse(viewer, TEASEL, raw, now=NOW)
        card = horses.get_horse(viewer, TEASEL)
        assert (card.status, card.ended_at) == (status, ended)
        assert stays_of(TEASEL) == [("Top Barn", cast.BEGAN, ended)]
        actions.change_horse(viewer, TEASEL, {"version": 2, "status": "present"}, now=NOW)
        back = horses.get_horse(viewer, TEASEL)
        assert (back.status, back.ended_at) == ("present", None)
        expected = (
            [("Top Barn", cast.BEGAN, None)]
            if status == "dead"
            else [("Top Barn", cast.BEGAN, ended), ("Top Barn", NOW, None)]
        )
        assert stays_of(TEASEL) == expected
    assert heard == ["Teasel ended", "Teasel changed"]


def test_an_end_must_lie_within_the_stay_and_not_ahead(inside: Inside) -> None:
    with inside("isolde") as viewer:
        for at, key in (
            (NOW + HOUR, "in_the_future"),
            (cast.BEGAN, "before_current_stay"),
        ):
            raw = {"version": 1, "status": "dead", "ended_at": at.isoformat()}
            answer = refused(lambda: actions.change_horse(viewer, TEASEL, raw, now=NOW))  # noqa: B023
            assert answer == (errors.Invalid, [("ended_at", key)])


def test_away_is_still_ours(inside: Inside) -> None:
    with inside("isolde") as viewer:
        actions.change_horse(viewer, TEASEL, {"version": 1, "status": "away"}, now=NOW)
        assert horses.get_horse(viewer, TEASEL).ended_at is None
        assert stays_of(TEASEL) == [("Top Barn", cast.BEGAN, None)]


@pytest.mark.parametrize("key", ["maud", "tobias", "keziah", "hollis"])
def test_only_a_coordinator_changes_or_moves(inside: Inside, key: str) -> None:
    with inside(key) as viewer:
        change = refused(lambda: actions.change_horse(viewer, TEASEL, {"version": 1}, now=NOW))
        moved = refused(lambda: actions.move_horse(viewer, TEASEL, TO_BARN, now=NOW))
        assert change[0] is moved[0] is errors.NotAllowed


@pytest.mark.parametrize("name", ["Gorse", "no such horse", "Marram"])
def test_a_horse_out_of_reach_is_not_there(inside: Inside, name: str) -> None:
    ref = cast.ref(name)
    with inside("maud") as viewer:
        for call in (
            lambda: actions.change_horse(viewer, ref, {"version": 1}, now=NOW),
            lambda: actions.move_horse(viewer, ref, TO_BARN, now=NOW),
        ):
            assert refused(call) == (errors.NotFound, [])


def test_a_vet_sees_a_named_horse_wherever_it_stands(inside: Inside) -> None:
    """Scope by named horse: its yard may be looked at, its neighbours not."""
    with inside("isolde"):
        teasel = Horse.objects.get(ref=TEASEL).id
    from tests.conftest import viewer_of
    from yards import isolation

    vet = viewer_of("keziah")
    narrow = Viewer(
        organisation=vet.organisation,
        role=vet.role,
        person=vet.person,
        yards=frozenset(),
        horses=frozenset({teasel}),
    )
    with isolation.of(narrow, read_only=True):
        assert [card.name for card in horses.list_horses(narrow).items] == ["Teasel"]
        assert refused(lambda: horses.get_horse(narrow, cast.ref("Sorrel Lad")))[0] is (
            errors.NotFound
        )
