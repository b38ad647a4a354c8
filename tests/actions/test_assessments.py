"""The main job through its one action: a reading in; score, place, standing, alerts out."""

import json
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from uuid import UUID

import pytest
import uuid_utils.compat as uuid_utils
from django.db import connections

from scoring.actions import assessments, standing, subjects, weighings
from scoring.models import Alert, Assessment, Assessor, Notice, Standing, Weighing
from tests import cast, readings
from tests.conftest import viewer_of
from tests.outside import COMMON_PRACTICE, outside
from yards import isolation
from yards.models import Entry, EntryPayload, Horse
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
SPRING = datetime(2026, 4, 12, 8, 40, tzinfo=UTC)
AUTUMN = datetime(2025, 11, 2, 8, 40, tzinfo=UTC)


def test_a_fat_leisure_horse_in_spring_is_scored_placed_and_alerted(inside: Inside) -> None:
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", SPRING, "3.5", "5", "4")
        answer = assessments.record_assessment(viewer, raw, now=SPRING)
    # (3.5 + 5 + 4) / 3, worked out by hand.
    assert answer.overall == Decimal("4.17")
    assert answer.overall_nearest_half == Decimal("4")
    assert answer.fattest_regions == ("back_and_ribs",)
    assert answer.band is not None
    assert (answer.band.low, answer.band.high, answer.place) == (Decimal(2), Decimal(3), "above")
    [alert] = answer.alerts
    assert (alert.rule, alert.severity, alert.state) == ("fat_in_spring", "act", "open")
    assert alert.vet.phone == "01632 960118"
    with inside("isolde"):
        notice = Notice.objects.get()
        assert (notice.person_id, notice.state) == (cast.ref("isolde"), "pending")
        entry = Entry.objects.get(verb="assessment.recorded")
        assert (entry.ref, bytes(entry.leaf).hex()) == (answer.receipt.entry, answer.receipt.leaf)
        assert entry.actor == f"person:{cast.ref('maud')}"
        said = json.loads(bytes(EntryPayload.objects.get(entry=entry).payload))
        assert said["back"] == 10
        held = Standing.objects.get(horse__ref=cast.ref("Teasel"))
        assert held.place == "above"
        assert held.open_alerts == 1
        # 14 days from a score of 3.5 or more (management of condition, section 5).
        assert held.score_due_at == SPRING + timedelta(days=14)


@outside(
    "4, 4.5 and 4 are fat, 3.5, 3 and 3 are right, for a leisure horse on 0-5",
    source="people who score horses",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize(
    ("scores", "nearest", "place", "fattest"),
    [
        # Facts of the trade: common practice, no published source.
        (("4", "4.5", "4"), "4.0", "above", ("back_and_ribs",)),
        (("3.5", "3", "3"), "3.0", "within", ("neck_and_shoulder",)),
    ],
)
def test_it_scores_as_the_trade_does(
    inside: Inside, scores: tuple[str, ...], nearest: str, place: str, fattest: tuple[str, ...]
) -> None:
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", AUTUMN, *scores)
        answer = assessments.record_assessment(viewer, raw, now=AUTUMN)
    assert answer.overall_nearest_half == Decimal(nearest)
    assert answer.place == place
    assert answer.fattest_regions == fattest


@outside(
    "a marked fat pocket behind the shoulder adds half a point",
    source="people who score horses",
    status=COMMON_PRACTICE,
)
def test_a_marked_pocket_counts_half_a_point_on_back_and_ribs(inside: Inside) -> None:
    """Common practice, no published source; the region and the cap at 5 are our reading."""
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", AUTUMN, "3", "3", "3", fat_pocket="marked")
        answer = assessments.record_assessment(viewer, raw, now=AUTUMN)
        capped = readings.raw("Teasel", AUTUMN, "3", "5", "3", fat_pocket="marked")
        at_cap = assessments.record_assessment(viewer, capped, now=AUTUMN)
    assert answer.regions is not None
    assert answer.regions["back_and_ribs"] == Decimal(3)
    assert answer.regions_used is not None
    assert answer.regions_used["back_and_ribs"] == Decimal("3.5")
    assert answer.overall == Decimal("3.17")
    assert at_cap.overall == Decimal("3.67")


def test_a_replay_is_answered_with_the_first_answer_and_a_clash_is_refused(inside: Inside) -> None:
    raw = readings.raw("Teasel", SPRING, "3.5", "5", "4", id=str(uuid_utils.uuid7()))
    with inside("maud") as viewer:
        first = assessments.record_assessment(viewer, raw, now=SPRING)
    same = {**raw, "sent_at": None, "regions": {**raw["regions"], "back_and_ribs": "5.0"}}
    with inside("maud") as viewer:
        again = assessments.record_assessment(viewer, same, now=SPRING + timedelta(hours=3))
    assert again.replayed
    assert again == replace(first, replayed=True)
    other = {**raw, "note": "Something else."}
    with inside("maud") as viewer, pytest.raises(errors.Conflict):
        assessments.record_assessment(viewer, other, now=SPRING)
    with inside("tobias") as viewer, pytest.raises(errors.Conflict):
        assessments.record_assessment(viewer, raw, now=SPRING)
    with inside("isolde"):
        assert Assessment.objects.count() == 1
        assert Notice.objects.count() == 1


def test_one_id_from_eight_threads_is_one_row(database: str) -> None:
    raw = readings.raw("Teasel", SPRING, "3.5", "5", "4", id=str(uuid_utils.uuid7()))

    def send(_: int) -> tuple[UUID, bool]:
        try:
            viewer = viewer_of("maud")
            with isolation.of(viewer):
                answer = assessments.record_assessment(viewer, raw, now=SPRING)
            return answer.receipt.entry, answer.replayed
        finally:
            connections.close_all()

    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(send, range(8)))
    assert len({entry for entry, _ in answers}) == 1
    assert sorted(replayed for _, replayed in answers) == [False] + [True] * 7
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        assert Assessment.objects.count() == 1
        assert Alert.objects.count() == 1
        assert Entry.objects.filter(verb="assessment.recorded").count() == 1


def test_a_correction_supersedes_and_only_the_newest_is_corrected(inside: Inside) -> None:
    with inside("maud") as viewer:
        first = assessments.record_assessment(
            viewer, readings.raw("Teasel", SPRING, "3.5", "5", "4"), now=SPRING
        )
    later = SPRING + timedelta(hours=1)
    better = readings.raw("Teasel", SPRING, "3", "3", "3", reason="Typed for the wrong horse.")
    with inside("maud") as viewer:
        second = assessments.correct_assessment(viewer, first.id, better, now=later)
    assert (second.supersedes, second.overall, second.place) == (first.id, Decimal(3), "within")
    with inside("maud") as viewer, pytest.raises(errors.Conflict):
        assessments.correct_assessment(viewer, first.id, better, now=later)
    with inside("isolde"):
        assert Assessment.objects.count() == 2
        held = Standing.objects.get(horse__ref=cast.ref("Teasel"))
        assert held.level == 3.0
        alert = Alert.objects.get()
        assert (alert.state, alert.resolution) == ("resolved", "reading")
        assert Entry.objects.filter(verb="assessment.corrected").count() == 1


def test_a_correction_keeps_the_hand_and_says_who_corrected(inside: Inside) -> None:
    weighed = {"method": "weigh_tape", "weight_kg": "741"}
    with inside("maud") as viewer:
        raw = readings.raw("Teasel", SPRING, "3.5", "5", "4", weighing=weighed)
        first = assessments.record_assessment(viewer, raw, now=SPRING)
    right = readings.raw("Teasel", SPRING, "3", "3", "3", reason="Wrong key")
    with inside("isolde") as viewer:
        right = {**right, "weighing": {**weighed, "weight_kg": "471"}}
        second = assessments.correct_assessment(viewer, first.id, right, now=SPRING)
    assert second.weighing is not None
    for each in (second, second.weighing):
        assert (each.assessor, each.recorded_by) == (first.assessor, cast.ref("isolde"))
        assert (each.assessor.name, each.recorded_by_name) == ("Maud Pell", "Isolde Kerr")
    assert (first.recorded_by, first.recorded_by_name) == (cast.ref("maud"), "Maud Pell")
    with inside("isolde"):
        assert not Assessor.objects.filter(person_id=cast.ref("isolde")).exists()


def test_a_correction_says_why_and_keeps_its_horse(inside: Inside) -> None:
    with inside("maud") as viewer:
        first = assessments.record_assessment(
            viewer, readings.raw("Teasel", AUTUMN, "3", "3", "3"), now=AUTUMN
        )
    raw = readings.raw("Teasel", AUTUMN, "2", "2", "2")
    with inside("maud") as viewer, pytest.raises(errors.Invalid) as refused:
        assessments.correct_assessment(viewer, first.id, raw, now=AUTUMN)
    assert [(each.field, each.key) for each in refused.value.errors] == [("reason", "required")]
    raw = readings.raw("Tansy", AUTUMN, "2", "2", "2", reason="Other horse.")
    with inside("maud") as viewer, pytest.raises(errors.Invalid) as refused:
        assessments.correct_assessment(viewer, first.id, raw, now=AUTUMN)
    assert [each.field for each in refused.value.errors] == ["horse"]


def test_visual_and_partial_records_are_kept_and_never_trended(inside: Inside) -> None:
    with inside("maud") as viewer:
        seen = readings.raw("Teasel", AUTUMN, "3", "3", "3", manner="visual")
        assessments.record_assessment(viewer, seen, now=AUTUMN)
        part = readings.raw("Teasel", AUTUMN, "3", "3", None, not_safe=["hindquarters"])
        answer = assessments.record_assessment(viewer, part, now=AUTUMN)
        held = Standing.objects.get(horse__ref=cast.ref("Teasel"))
    assert (answer.overall, answer.place, answer.fattest_regions) == (None, "", ())
    assert (held.level, held.last_assessment_id) == (None, None)


def test_a_weight_with_the_reading_is_a_weighing_of_its_own(inside: Inside) -> None:
    raw = readings.raw("Teasel", AUTUMN, "3", "3", "3")
    raw["weighing"] = {"method": "weigh_tape", "weight_kg": "471.0"}
    with inside("maud") as viewer:
        answer = assessments.record_assessment(viewer, raw, now=AUTUMN)
        assert answer.weighing is not None
        assert answer.weighing.weight_kg == Decimal("471.0")
        held = Standing.objects.get(horse__ref=cast.ref("Teasel"))
        assert held.last_weighing_id == Weighing.objects.get().id
        assert held.weight_due_at == AUTUMN + timedelta(days=28)


def test_a_weight_put_right_by_itself_is_put_right_with_its_score_too(inside: Inside) -> None:
    raw = readings.raw("Teasel", AUTUMN, "3", "3", "3")
    weighed = {"method": "weigh_tape", "weight_kg": "471.0"}
    with inside("maud") as viewer:
        first = assessments.record_assessment(viewer, {**raw, "weighing": weighed}, now=AUTUMN)
        assert first.weighing is not None
        better = {"horse": raw["horse"], "taken_at": raw["taken_at"], "reason": "Misread"}
        better |= {**weighed, "weight_kg": "417.0"}
        weighings.correct_weighing(viewer, first.weighing.id, better, now=AUTUMN)
        again = {**raw, "weighing": {**weighed, "weight_kg": "419.0"}, "reason": "Read once more"}
        assessments.correct_assessment(viewer, first.id, again, now=AUTUMN)
        live = Weighing.objects.filter(superseded_by__isnull=True)
        assert [each.weight_kg for each in live] == [Decimal("419.0")]


def test_a_horse_out_of_scope_elsewhere_or_unknown_is_refused_alike(inside: Inside) -> None:
    said = set()
    for horse in ("Marram", "Gorse", "nobody"):
        raw = readings.raw(horse, AUTUMN, "3", "3", "3")
        with inside("maud") as viewer, pytest.raises(errors.Invalid) as refused:
            assessments.record_assessment(viewer, raw, now=AUTUMN)
        said.add(tuple((each.field, each.key) for each in refused.value.errors))
    assert said == {(("horse", "unknown_reference"),)}


def test_an_auditor_records_nothing(inside: Inside) -> None:
    raw = readings.raw("Teasel", AUTUMN, "3", "3", "3")
    with inside("hollis") as viewer, pytest.raises(errors.NotAllowed):
        assessments.record_assessment(viewer, raw, now=AUTUMN)


def test_what_is_stored_is_what_a_rebuild_gives_also_after_late_readings(inside: Inside) -> None:
    order = [0, 14, 28, 7, 60, 45, 61, 200]
    with inside("maud") as viewer:
        for number, day in enumerate(order):
            at = AUTUMN + timedelta(days=day)
            raw = readings.raw("Teasel", at, "3", f"{2.5 + number % 3 / 2}", "3")
            raw["weighing"] = {"method": "weigh_tape", "weight_kg": str(450 + number)}
            assessments.record_assessment(viewer, raw, now=AUTUMN + timedelta(days=201))
        kept = dict.fromkeys(standing.KEPT)
        stored = Standing.objects.values(*kept).get(horse__ref=cast.ref("Teasel"))
        held = subjects.locked(Horse.objects.get(ref=cast.ref("Teasel")))
        standing.rebuild(viewer, held, AUTUMN + timedelta(days=201))
        rebuilt = Standing.objects.values(*kept).get(horse__ref=cast.ref("Teasel"))
    assert stored["score_filter"]["count"] == 1, "a gap over 120 days begins a new baseline"
    assert rebuilt == stored
