"""Events: recorded once, and what they change in the horse's facts."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from scoring.actions import alerts, assessments
from scoring.models import Alert
from tests import cast, readings
from tests.actions.record import NOW, entries, racing, refused
from yards.actions import after
from yards.actions import events as actions
from yards.actions import horses as horse_actions
from yards.models import Entry, HorseEvent, Stay
from yards.queries import events, horses
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL, TANSY = cast.ref("Teasel"), cast.ref("Tansy")
DAY = timedelta(days=1)


def body(kind: str, at: datetime = NOW - DAY, **other: Any) -> dict[str, Any]:
    return {"kind": kind, "at": at.isoformat(), **other}


@pytest.fixture
def heard() -> Iterator[list[str]]:
    calls: list[str] = []
    changed = lambda viewer, horse, now: calls.append("changed")  # noqa: E731
    ended = lambda viewer, horse, now: calls.append(horse.status)  # noqa: E731
    after.horse_changed.append(changed)
    after.horse_ended.append(ended)
    yield calls
    after.horse_changed.remove(changed)
    after.horse_ended.remove(ended)


def test_an_event_is_recorded_with_one_entry(inside: Inside, heard: list[str]) -> None:
    with inside("maud") as viewer:
        made = actions.record_event(viewer, TEASEL, body("clipped", note="Full clip"), now=NOW)
        row = events.get_event(viewer, TEASEL, made.ref)
        ((verb, actor, at, said),) = entries(made.ref)
    assert (row.kind, row.at, row.note, row.recorded_at) == (
        "clipped",
        NOW - DAY,
        "Full clip",
        NOW,
    )
    assert row.recorded_by is not None
    assert row.recorded_by.name == "Maud Pell"
    assert (verb, actor, at) == ("event.recorded", f"person:{cast.ref('maud')}", NOW)
    assert (said["kind"], said["horse"]) == ("clipped", str(TEASEL))
    assert heard == []


def test_a_replay_a_clash_and_another_hand(inside: Inside) -> None:
    raw = body("clipped", id=str(cast.ref("an event")))
    clash = (errors.Conflict, [("id", "same_id_other_content")])
    with inside("maud") as viewer:
        first = actions.record_event(viewer, TEASEL, raw, now=NOW)
        again = actions.record_event(viewer, TEASEL, raw, now=NOW + DAY)
        assert (again.replay, again.ref, again.receipt) == (True, first.ref, first.receipt)
        other = {**raw, "note": "Legs left"}
        assert refused(lambda: actions.record_event(viewer, TEASEL, other, now=NOW)) == clash
        assert refused(lambda: actions.record_event(viewer, TANSY, raw, now=NOW)) == clash
    with inside("tobias") as viewer:
        assert refused(lambda: actions.record_event(viewer, TEASEL, raw, now=NOW)) == clash
        assert HorseEvent.objects.count() == Entry.objects.count() == 1


def test_one_id_from_eight_threads_is_one_event(inside: Inside) -> None:
    raw = body("foaled", id=str(cast.ref("an event")))
    made = racing("maud", lambda viewer: actions.record_event(viewer, TANSY, raw, now=NOW))
    assert sorted(each.replay for each in made) == [False] + [True] * 7
    with inside("isolde"):
        assert HorseEvent.objects.count() == Entry.objects.count() == 1


@pytest.mark.parametrize(("kind", "status"), [("died", "dead"), ("rehomed", "rehomed")])
def test_an_end_sets_status_time_and_stay_and_nothing_comes_after(
    inside: Inside, heard: list[str], kind: str, status: str
) -> None:
    raw = body(kind, id=str(cast.ref("the end")))
    key = "after_death" if kind == "died" else "after_departure"
    with inside("keziah") as viewer:
        first = actions.record_event(viewer, TEASEL, raw, now=NOW)
        card = horses.get_horse(viewer, TEASEL)
        assert (card.status, card.ended_at) == (status, NOW - DAY)
        assert Stay.objects.get(horse__ref=TEASEL).until_at == NOW - DAY
        late = refused(lambda: actions.record_event(viewer, TEASEL, body("shod", NOW), now=NOW))
        assert late == (errors.Invalid, [("at", key)])
        twice = refused(lambda: actions.record_event(viewer, TEASEL, body(kind), now=NOW))
        assert twice == (errors.Invalid, [("kind", "already_gone")])
        assert actions.record_event(viewer, TEASEL, raw, now=NOW).receipt == first.receipt
        before = body("shod", NOW - 2 * DAY)
        assert not actions.record_event(viewer, TEASEL, before, now=NOW).replay
        assert entries(first.ref)[0][3]["changed"]["after"]["status"] == status
    assert heard == [status]


def test_events_that_cannot_be_are_refused_by_field(inside: Inside) -> None:
    """Sorrel Lad was born on 2017-05-01."""
    sorrel = cast.ref("Sorrel Lad")
    cases = [
        (body("shod", NOW + DAY), ("at", "in_the_future")),
        (body("shod", datetime(2017, 4, 1, tzinfo=UTC)), ("at", "before_birth")),
        (body("died", cast.BEGAN), ("at", "before_current_stay")),
        (body("unheard of"), ("kind", "not_a_choice")),
        ({"kind": "shod"}, ("at", "required")),
    ]
    with inside("isolde") as viewer:
        for raw, fault in cases:
            answer = refused(lambda: actions.record_event(viewer, sorrel, raw, now=NOW))  # noqa: B023
            assert answer == (errors.Invalid, [fault])
        assert HorseEvent.objects.count() == Entry.objects.count() == 0
        assert horses.get_horse(viewer, sorrel).version == 1


def test_breeding_follows_the_latest_event_not_the_latest_entry(
    inside: Inside, heard: list[str]
) -> None:
    with inside("maud") as viewer:
        actions.record_event(viewer, TANSY, body("foaled"), now=NOW)
        assert horses.get_horse(viewer, TANSY).breeding == "lactating"
        late = body("covered", NOW - 340 * DAY)
        actions.record_event(viewer, TANSY, late, now=NOW)
        assert horses.get_horse(viewer, TANSY).breeding == "lactating"
        actions.record_event(viewer, TANSY, body("weaned", NOW), now=NOW)
    assert heard == ["changed"] * 3  # the day of an event counts, also where no word changes


def test_away_and_back(inside: Inside) -> None:
    with inside("maud") as viewer:
        actions.record_event(viewer, TEASEL, body("left", NOW - 2 * DAY), now=NOW)
        assert horses.get_horse(viewer, TEASEL).status == "away"
        actions.record_event(viewer, TEASEL, body("returned"), now=NOW)
        assert horses.get_horse(viewer, TEASEL).status == "present"
        assert Stay.objects.filter(horse__ref=TEASEL).count() == 1


def test_a_death_in_a_yard_left_since_is_refused(inside: Inside) -> None:
    with inside("isolde") as viewer:
        away = {"yard": str(cast.ref("Sallow Field")), "at": (NOW - DAY).isoformat()}
        horse_actions.move_horse(viewer, TEASEL, away, now=NOW)
        early = body("died", NOW - 2 * DAY)
        answer = refused(lambda: actions.record_event(viewer, TEASEL, early, now=NOW))
        assert answer == (errors.Invalid, [("at", "before_current_stay")])
        assert horses.get_horse(viewer, TEASEL).status == "present"


@pytest.mark.parametrize("name", ["Marram", "Gorse", "no such horse"])
def test_a_horse_out_of_reach_is_not_there(inside: Inside, name: str) -> None:
    with inside("maud") as viewer:
        for raw in (body("shod"), {"kind": 1}):
            answer = refused(lambda: actions.record_event(viewer, cast.ref(name), raw, now=NOW))  # noqa: B023
            assert answer == (errors.NotFound, [])


def test_an_auditor_and_a_device_record_no_event(inside: Inside) -> None:
    for key in ("hollis", "device"):
        with inside(key) as viewer:
            answer = refused(lambda: actions.record_event(viewer, TEASEL, body("shod"), now=NOW))
            assert answer[0] is errors.NotAllowed


def test_an_animal_is_not_rehomed_out_of_an_alert_that_protects_life_without_the_vet(
    inside: Inside,
) -> None:
    thin = readings.raw("Teasel", NOW - DAY, "0.5", "0.5", "0.5")
    gone = body("rehomed", NOW)
    with inside("maud") as viewer:
        assert len(assessments.record_assessment(viewer, thin, now=NOW).alerts) == 1
    with pytest.raises(errors.NotAllowed) as found, inside("maud") as viewer:
        actions.record_event(viewer, TEASEL, gone, now=NOW)
    assert [(each.field, each.key) for each in found.value.errors] == [
        ("kind", "rehomed_under_alert")
    ]
    with inside("maud") as viewer:
        assert horses.get_horse(viewer, TEASEL).status == "present", "nothing was written"
        actions.record_event(viewer, TANSY, gone, now=NOW)
    with inside("keziah") as viewer:
        alert = Alert.objects.get(rule="emaciated")
        alerts.resolve(viewer, alert.ref, {"reason": "Seen and treated."}, now=NOW)
    with inside("maud") as viewer:
        actions.record_event(viewer, TEASEL, gone, now=NOW)
        assert horses.get_horse(viewer, TEASEL).status == "rehomed"


def test_the_vet_may_rehome_it_and_a_death_is_always_recorded(inside: Inside) -> None:
    for name, key, kind in (("Teasel", "keziah", "rehomed"), ("Sorrel Lad", "maud", "died")):
        thin = readings.raw(name, NOW - DAY, "0.5", "0.5", "0.5")
        with inside("maud") as viewer:
            assessments.record_assessment(viewer, thin, now=NOW)
        with inside(key) as viewer:
            actions.record_event(viewer, cast.ref(name), body(kind, NOW), now=NOW)
            assert not Alert.objects.exclude(state="resolved").exists()
