"""What is learnt of hands and tapes: kept once, used by every standing, and made again alike."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID

import pytest

from scoring.actions import assessments, fitting, rebuilding, standing, timers
from scoring.models import Assessment, Fit, Standing, Timer
from scoring.queries import fits
from tests import cast, factories, readings
from yards.models import Entry, Horse, Yard

NOW = datetime(2026, 11, 2, 12, tzinfo=UTC)


def scored(viewer: Any, horse: UUID, days: int, *scores: str) -> None:
    at = NOW - timedelta(days=days)
    raw = {**readings.raw("Teasel", at, *scores), "horse": str(horse)}
    assessments.record_assessment(viewer, raw, now=at)


@pytest.fixture
def read(inside: Any) -> None:
    """Maud and Isolde score six animals in turn; Isolde half a point higher."""
    with inside("isolde") as viewer:
        yard = Yard.objects.get(ref=cast.ref("Top Barn"))
        facts = {"organisation_id": viewer.organisation, "yard": yard, "sex": "gelding"}
        horses: list[Horse] = factories.HorseFactory.create_batch(6, **facts)
        for horse in horses:
            standing.make(viewer, horse, NOW)
    for key, higher in (("maud", 0), ("isolde", 1)):
        with inside(key) as viewer:
            for place, horse in enumerate(horses):
                for turn in range(6):
                    score = str(Decimal(4 + place % 3 + higher) / 2)
                    scored(viewer, horse.ref, 150 - turn * 25 - 7 * higher, score, score, score)


def run_fit(inside: Any) -> int:
    with inside("isolde"):
        Timer.objects.filter(kind="fit").update(due_at=NOW)
    return timers.run_due(now=NOW)


def test_a_weekly_timer_fits_and_brings_every_standing_to_it(inside: Any, read: None) -> None:
    with inside("isolde") as viewer:
        fitting.ensure_fit(viewer, NOW - timedelta(days=2))
        fitting.ensure_fit(viewer, NOW)
        assert Timer.objects.filter(kind="fit").count() == 1
        assert set(Standing.objects.values_list("fit_id", flat=True)) == {None}
    assert run_fit(inside) >= 1
    timers.run_due(now=NOW)
    with inside("isolde") as viewer:
        row = Fit.objects.get()
        assert set(Standing.objects.values_list("fit_id", flat=True)) == {row.id}
        due = Timer.objects.get(kind="fit").due_at
        assert due == NOW + fitting.EVERY
        assert not Timer.objects.filter(kind="refit", due_at__isnull=False).exists()
        assert Entry.objects.filter(verb=fitting.FITTED).count() == 1
        for horse in rebuilding.horses(viewer):
            assert rebuilding.rebuild_standing(viewer, horse, now=NOW) == []


def test_the_higher_hand_is_found_and_taken_off(inside: Any, read: None) -> None:
    with inside("isolde") as viewer:
        row = fitting.fit(viewer, now=NOW)
        found = fits.read(row).of_series["five"]
        assert found.reason == ""
        hands = dict(Assessment.objects.values_list("assessor__name", "assessor_id").distinct())
        names = {name: str(key) for name, key in hands.items()}
        offsets = {name: found.assessors.offsets[key] for name, key in names.items()}
        assert len(offsets) == 2
        low, high = sorted(offsets.values(), key=lambda each: each.value)
        assert high.value - low.value == pytest.approx(0.5, abs=0.1)
        assert high.compared


def test_a_reading_steps_by_the_fit_that_its_standing_names(inside: Any, read: None) -> None:
    with inside("isolde") as viewer:
        row = fitting.fit(viewer, now=NOW)
        horse = Horse.objects.filter(sex="gelding").latest("id")
        rebuilding.rebuild_standing(viewer, horse.id, now=NOW)
        scored(viewer, horse.ref, 0, "3", "3", "3")
        held = Standing.objects.get(horse=horse)
        assert held.fit_id == row.id
        before = held.score_filter
        assert rebuilding.rebuild_standing(viewer, horse.id, now=NOW) == []
        assert Standing.objects.get(horse=horse).score_filter == before


def test_too_few_readings_leave_the_defaults(inside: Any) -> None:
    with inside("isolde") as viewer:
        found = fits.read(fitting.fit(viewer, now=NOW))
        assert {each.reason for each in found.of_series.values()} == {"not_enough_readings"}
        taken = found.score(NOW, 18, "five", 1)
        assert (taken.noise, taken.offset, taken.doubts) == (0.3, 0.0, (("hand:1", 0.3),))


def test_a_fit_of_another_version_is_none(inside: Any) -> None:
    with inside("isolde") as viewer:
        row = fitting.fit(viewer, now=NOW)
        row.content = {key: {**each, "version": 0} for key, each in row.content.items()}
        assert fits.read(row) == fits.DEFAULTS
