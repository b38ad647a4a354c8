"""An unknown animal joins the one it turned out to be."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from scoring.actions import assessments, concerns, subjects, weighings
from scoring.models import Alert, Assessment, Standing
from scoring.queries import assessments as scores
from scoring.queries import wanting
from scoring.queries import weighings as weights
from tests import cast, readings
from tests.actions.record import NOW, entries, refused
from yards.actions import after, merges
from yards.actions import events as event_actions
from yards.actions import horses as horse_actions
from yards.models import Horse, Stay
from yards.queries import events, horses
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL, STRAY = cast.ref("Teasel"), cast.ref("stray")


@pytest.fixture
def stray(inside: Inside) -> None:
    raw = {
        "id": str(STRAY),
        "name": "Chestnut at the gate",
        "yard": str(cast.ref("Top Barn")),
        "species": "horse",
        "is_unknown": True,
    }
    earlier = NOW - timedelta(days=2)
    with inside("maud") as viewer:
        horse_actions.register_horse(viewer, raw, now=earlier)
        clipped = {"kind": "clipped", "at": earlier.isoformat()}
        event_actions.record_event(viewer, STRAY, clipped, now=earlier)


@pytest.fixture
def heard() -> Iterator[list[tuple[str, str]]]:
    calls: list[tuple[str, str]] = []
    hook = lambda viewer, unknown, now, into: calls.append((unknown.name, into.name))  # noqa: E731
    after.horse_merged.append(hook)
    yield calls
    after.horse_merged.remove(hook)


def into(name: str) -> dict[str, Any]:
    return {"into": str(cast.ref(name)), "reason": "Transponder read"}


def test_the_stray_ends_and_points_at_the_horse(
    inside: Inside, stray: None, heard: list[tuple[str, str]]
) -> None:
    with inside("isolde") as viewer:
        merged = merges.merge_horse(viewer, STRAY, into("Teasel"), now=NOW)
        card = horses.get_horse(viewer, STRAY)
        assert (card.status, card.ended_at, card.merged_into) == ("merged", NOW, TEASEL)
        assert Stay.objects.get(horse__ref=STRAY).until_at == NOW
        verb, actor, at, said = entries(STRAY)[-1]
        assert merges.merge_horse(viewer, STRAY, into("Teasel"), now=NOW) == merged
        names = {card.name for card in horses.list_horses(viewer).items}
        only = {card.name for card in horses.list_horses(viewer, status="merged").items}
    assert (verb, actor, at) == ("horse.merged", f"person:{cast.ref('isolde')}", NOW)
    assert said == {"into": str(TEASEL), "reason": "Transponder read"}
    assert heard == [("Chestnut at the gate", "Teasel")]
    assert "Chestnut at the gate" not in names
    assert only == {"Chestnut at the gate"}


def test_its_readings_are_listed_for_whoever_sees_the_horse_s_yard_alone(inside: Inside) -> None:
    raw = {"id": str(STRAY), "name": "Grey at the gate", "yard": str(cast.ref("Nether Paddocks"))}
    earlier = NOW - timedelta(days=2)
    with inside("tobias") as viewer:
        found = {**raw, "species": "horse", "is_unknown": True}
        horse_actions.register_horse(viewer, found, now=earlier)
        read = {**readings.raw("Teasel", earlier, "3", "3", "3"), "horse": str(STRAY)}
        score = assessments.record_assessment(viewer, read, now=earlier)
        heavy = {"horse": str(STRAY), "taken_at": earlier.isoformat(), "weight_kg": "300"}
        weight = weighings.record_weighing(viewer, {**heavy, "method": "weighbridge"}, now=earlier)
    mine = wanting.Wanted(horse=TEASEL)
    with inside("maud") as viewer:
        assert scores.list_assessments(viewer, mine).items == ()
        with pytest.raises(errors.NotFound):
            scores.get_assessment(viewer, score.id)
    with inside("isolde") as viewer:
        merges.merge_horse(viewer, STRAY, into("Teasel"), now=NOW)
    with inside("maud") as viewer:
        assert [each.id for each in scores.list_assessments(viewer, mine).items] == [score.id]
        assert scores.get_assessment(viewer, score.id).id == score.id
        assert [each.id for each in weights.list_weighings(viewer, mine).items] == [weight.id]
        nowhere = replace(viewer, yards=frozenset())
        assert scores.list_assessments(nowhere, mine).items == ()
        assert weights.list_weighings(nowhere, mine).items == ()
        with pytest.raises(errors.NotFound):
            scores.get_assessment(nowhere, score.id)


def test_its_events_are_read_with_the_horse_s(inside: Inside, stray: None) -> None:
    with inside("isolde") as viewer:
        assert events.list_events(viewer, TEASEL).items == ()
        merges.merge_horse(viewer, STRAY, into("Teasel"), now=NOW)
        (row,) = events.list_events(viewer, TEASEL).items
    assert (row.kind, row.horse) == ("clipped", STRAY)


def test_a_reading_that_arrives_after_the_merge_is_the_horse_s(inside: Inside, stray: None) -> None:
    """A phone kept it in its queue: the row stays the stray's, all that it sets off is Teasel's."""
    taken = NOW - timedelta(hours=1)
    with inside("isolde") as viewer:
        merges.merge_horse(viewer, STRAY, into("Teasel"), now=NOW)
    with inside("maud") as viewer:
        raw = readings.raw("stray", taken, "4.5", "4.5", "4.5")
        answer = assessments.record_assessment(viewer, raw, now=NOW)
        weight = {"method": "estimate", "weight_kg": "520", "taken_at": taken.isoformat()}
        weighings.record_weighing(viewer, {**weight, "horse": str(STRAY)}, now=NOW)
        seen = {"seen_at": taken.isoformat(), "danger_signs": ["cannot_rise"]}
        concerns.record_concern(viewer, STRAY, seen, now=NOW)
    with inside("isolde"):
        row = Assessment.objects.select_related("horse").get()
        assert (row.horse.ref, answer.horse) == (STRAY, STRAY)
        held = Standing.objects.get(horse__ref=TEASEL)
        assert (held.last_assessment_id, held.place) == (row.id, "above")
        assert held.last_weighing is not None
        assert held.score_filter is not None
        found = set(Alert.objects.values_list("horse__ref", "rule", "yard__name"))
        assert found == {
            (TEASEL, "fat_in_spring", "Top Barn"),
            (TEASEL, "danger_signs", "Top Barn"),
        }
        assert [each.rule for each in answer.alerts] == ["fat_in_spring"]
        assert held.open_alerts == 2
        assert subjects.locked(row.horse).horse_id == held.horse_id


def test_nothing_more_is_done_to_a_merged_row(inside: Inside, stray: None) -> None:
    with inside("isolde") as viewer:
        version = merges.merge_horse(viewer, STRAY, into("Teasel"), now=NOW).version
        shod = {"kind": "shod", "at": NOW.isoformat()}
        move = {"yard": str(cast.ref("Sallow Field"))}
        change = {"version": version, "name": "Else"}
        for call in (
            lambda: horse_actions.change_horse(viewer, STRAY, change, now=NOW),
            lambda: horse_actions.move_horse(viewer, STRAY, move, now=NOW),
            lambda: event_actions.record_event(viewer, STRAY, shod, now=NOW),
            lambda: merges.merge_horse(viewer, STRAY, into("Sorrel Lad"), now=NOW),
        ):
            assert refused(call) == (errors.Conflict, [("", "merged_into_another")])


@pytest.mark.parametrize("name", ["Gorse", "no such horse"])
def test_a_horse_elsewhere_in_the_body_is_unknown(inside: Inside, stray: None, name: str) -> None:
    with inside("isolde") as viewer:
        answer = refused(lambda: merges.merge_horse(viewer, STRAY, into(name), now=NOW))
    assert answer == (errors.Invalid, [("into", "unknown_reference")])


def test_only_an_unknown_animal_joins_a_known_one_of_its_species(
    inside: Inside, stray: None
) -> None:
    cases = [
        (TEASEL, "Sorrel Lad", ("", "only_unknown_animals_merge")),
        (STRAY, "Wagtail", ("into", "other_species")),
        (STRAY, "stray", ("into", "not_an_identified_horse_here")),
    ]
    with inside("isolde") as viewer:
        for ref, name, fault in cases:
            answer = refused(lambda: merges.merge_horse(viewer, ref, into(name), now=NOW))  # noqa: B023
            assert answer == (errors.Invalid, [fault])


def test_only_a_coordinator_merges(inside: Inside, stray: None) -> None:
    for key in ("maud", "keziah", "hollis"):
        with inside(key) as viewer:
            answer = refused(lambda: merges.merge_horse(viewer, STRAY, into("Teasel"), now=NOW))
            assert answer[0] is errors.NotAllowed


@pytest.mark.parametrize(
    ("known", "noted"),
    [("Never kicks", "Kicks"), ("x" * 400, "Bites.\n" + "y" * 400), ("Bites.", "Bites.\nRears.")],
    ids=["part of another", "both together too long to be typed", "one of two is there"],
)
def test_every_caution_of_both_stands_once(
    inside: Inside, stray: None, known: str, noted: str
) -> None:
    with inside("isolde") as viewer:
        Horse.objects.filter(ref=TEASEL).update(handling=known)
        Horse.objects.filter(ref=STRAY).update(handling=noted)
        merges.merge_horse(viewer, STRAY, into("Teasel"), now=NOW)
        stands = horses.get_horse(viewer, TEASEL).handling.splitlines()
    assert stands == list(dict.fromkeys([*known.splitlines(), *noted.splitlines()]))
