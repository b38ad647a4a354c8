"""A phone that sends again is answered, whatever became of the horse in the meantime."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import date, timedelta
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils

from scoring.actions import assessments, concerns, weighings
from scoring.models import Assessment, Concern, Weighing
from tests import cast, readings
from tests.actions.record import NOW, refused
from yards.actions import events, horses
from yards.models import Horse
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
TEASEL = cast.ref("Teasel")
HOUR = timedelta(hours=1)
CLASH = (errors.Conflict, [("id", "same_id_other_content")])


def died(viewer: Viewer) -> None:
    raw = {"kind": "died", "at": (NOW - HOUR).isoformat()}
    events.record_event(viewer, TEASEL, raw, now=NOW + HOUR)


def born_later(_viewer: Viewer) -> None:
    Horse.objects.filter(ref=TEASEL).update(born_earliest=date(2026, 5, 1))


def moved(viewer: Viewer) -> None:
    away = {"yard": str(cast.ref("Nether Paddocks")), "at": (NOW + HOUR).isoformat()}
    horses.move_horse(viewer, TEASEL, away, now=NOW + HOUR)


def read(viewer: Viewer, raw: dict[str, Any], now: Any) -> Any:
    return assessments.record_assessment(viewer, raw, now=now)


def weighed(viewer: Viewer, raw: dict[str, Any], now: Any) -> Any:
    return weighings.record_weighing(viewer, raw, now=now)


def worried(viewer: Viewer, raw: dict[str, Any], now: Any) -> Any:
    return concerns.record_concern(viewer, TEASEL, raw, now=now)


BODIES: dict[Any, dict[str, Any]] = {
    read: readings.raw("Teasel", NOW, "3", "3.5", "3"),
    weighed: {
        "horse": str(TEASEL),
        "taken_at": NOW.isoformat(),
        "method": "estimate",
        "weight_kg": "471",
    },
    worried: {"seen_at": NOW.isoformat(), "danger_signs": ["cannot_rise"], "note": ""},
}


@pytest.mark.parametrize("meanwhile", [died, born_later, moved])
@pytest.mark.parametrize("record", list(BODIES))
def test_the_same_again_is_the_first_answer(inside: Inside, record: Any, meanwhile: Any) -> None:
    raw = {**BODIES[record], "id": str(uuid_utils.uuid7()), "sent_at": NOW.isoformat()}
    with inside("maud") as viewer:
        first = record(viewer, raw, NOW)
    with inside("isolde") as viewer:
        meanwhile(viewer)
    with inside("maud") as viewer:
        for sent in (NOW, NOW + 2 * HOUR):
            again = record(viewer, {**raw, "sent_at": sent.isoformat()}, NOW + 2 * HOUR)
            assert again.replayed
            assert (again.id, again.receipt) == (first.id, first.receipt)
        earlier = {"seen_at" if record is worried else "taken_at": (NOW - HOUR).isoformat()}
        assert refused(lambda: record(viewer, {**raw, **earlier}, NOW + 2 * HOUR)) == CLASH
    with inside("isolde"):
        rows = (Assessment, Weighing, Concern)
        assert sum(model.objects.count() for model in rows) == 1


@pytest.mark.parametrize("record", list(BODIES))
def test_a_first_time_is_still_judged_by_birth_and_death(inside: Inside, record: Any) -> None:
    with inside("isolde") as viewer:
        died(viewer)
    field = "seen_at" if record is worried else "taken_at"
    with inside("maud") as viewer:
        answer = refused(lambda: record(viewer, BODIES[record], NOW))
        assert answer == (errors.Invalid, [(field, "after_death")])
