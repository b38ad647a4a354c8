"""Weighings through their action, and the concerns and vets' orders beside them."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils

from scoring.actions import concerns, instruments, sweep, timers, vet_orders, weighings
from scoring.models import Alert, Concern, Notice, Standing, Weighing
from tests import alarms, cast
from tests.outside import EXACT, FROM_MEMORY, outside
from yards.models import Entry
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NOW = datetime(2025, 11, 2, 8, 40, tzinfo=UTC)


def weighed(kg: str, at: datetime = NOW, horse: str = "Teasel", **facts: Any) -> dict[str, Any]:
    return {
        "horse": str(cast.ref(horse)),
        "taken_at": at.isoformat(),
        "method": "weigh_tape",
        "weight_kg": kg,
        **facts,
    }


def test_a_weight_sets_when_the_next_is_due(inside: Inside) -> None:
    with inside("maud") as viewer:
        answer = weighings.record_weighing(viewer, weighed("471.0"), now=NOW)
        held = Standing.objects.get(horse__ref=cast.ref("Teasel"))
    assert answer.weight_kg == Decimal("471.0")
    assert answer.receipt is not None
    assert held.weight_due_at == NOW + timedelta(days=28)


@outside(
    "a donkey is weighed every 14 days",
    source="habits of charities and veterinary practices",
    status=FROM_MEMORY,
)
def test_a_donkey_is_weighed_every_fortnight(inside: Inside) -> None:
    """14/14 days for donkeys (the condition-management notes, section 5; from memory there)."""
    with inside("maud") as viewer:
        weighings.record_weighing(viewer, weighed("170", horse="Wagtail"), now=NOW)
        held = Standing.objects.get(horse__ref=cast.ref("Wagtail"))
    assert held.weight_due_at == NOW + timedelta(days=14)


@outside(
    "a donkey that lost more than 10 kg in a month is at risk (odds 6.4)",
    source="Burden et al. 2011, J Vet Intern Med, doi 10.1111/j.1939-1676.2011.00798.x",
    status=EXACT,
)
def test_a_donkey_that_lost_over_ten_kilograms_in_a_month_alerts(inside: Inside) -> None:
    """Burden et al. 2011, J Vet Intern Med: loss of more than 10 kg in a month, odds 6.4."""
    later = NOW + timedelta(days=28)
    with inside("maud") as viewer:
        weighings.record_weighing(viewer, weighed("181", horse="Wagtail"), now=NOW)
        weighings.record_weighing(viewer, weighed("170", later, "Wagtail"), now=later)
        alert = Alert.objects.get(rule="losing_fast")
    assert alert.state == "open"
    assert alert.said["reason"][0] == "losing_fast_donkey"


def test_a_replay_is_one_row_and_a_clash_is_refused(inside: Inside) -> None:
    raw = weighed("471.0", id=str(uuid_utils.uuid7()))
    with inside("maud") as viewer:
        weighings.record_weighing(viewer, raw, now=NOW)
    with inside("maud") as viewer:
        assert weighings.record_weighing(viewer, raw, now=NOW).replayed
    with inside("maud") as viewer, pytest.raises(errors.Conflict):
        weighings.record_weighing(viewer, {**raw, "weight_kg": "472"}, now=NOW)
    with inside("isolde"):
        assert Weighing.objects.count() == 1
        assert Entry.objects.filter(verb="weighing.recorded").count() == 1


def test_a_correction_supersedes(inside: Inside) -> None:
    with inside("maud") as viewer:
        first = weighings.record_weighing(viewer, weighed("741"), now=NOW)
    raw = weighed("471", reason="Two digits changed places.")
    with inside("isolde") as viewer:
        second = weighings.correct_weighing(viewer, first.id, raw, now=NOW)
    with inside("maud") as viewer, pytest.raises(errors.Conflict):
        weighings.correct_weighing(viewer, first.id, raw, now=NOW)
    assert second.supersedes == first.id
    assert (second.assessor, second.assessor.name) == (first.assessor, "Maud Pell")
    assert (second.recorded_by, second.recorded_by_name) == (cast.ref("isolde"), "Isolde Kerr")
    with inside("maud") as viewer:
        held = Standing.objects.get(horse__ref=cast.ref("Teasel"))
        assert held.last_weighing_id == Weighing.objects.get(ref=second.id).id
        assert held.weight_filter is not None
        assert held.weight_filter["count"] == 1


def test_an_instrument_must_be_of_the_method(inside: Inside) -> None:
    with inside("isolde") as viewer:
        bridge = instruments.add_instrument(
            viewer, {"kind": "weighbridge", "label": "Lorry scales"}, now=NOW
        )
    with inside("maud") as viewer, pytest.raises(errors.Invalid) as refused:
        weighings.record_weighing(viewer, weighed("471", instrument=str(bridge.id)), now=NOW)
    assert [each.field for each in refused.value.errors] == ["instrument"]


def test_danger_signs_without_a_score_alert_at_once(inside: Inside) -> None:
    raw = {
        "id": str(uuid_utils.uuid7()),
        "seen_at": NOW.isoformat(),
        "danger_signs": ["cannot_rise"],
        "note": "Down in the far corner.",
    }
    with inside("maud") as viewer:
        answer = concerns.record_concern(viewer, cast.ref("Teasel"), raw, now=NOW)
    [alert] = answer.alerts
    assert (alert.rule, alert.severity) == ("danger_signs", "urgent")
    with inside("maud") as viewer:
        assert concerns.record_concern(viewer, cast.ref("Teasel"), raw, now=NOW).replayed
    with inside("isolde"):
        assert Concern.objects.count() == 1
        told = set(Notice.objects.values_list("person_id", flat=True))
        assert told == {cast.ref("isolde"), cast.ref("keziah")}


def test_a_vets_order_wins_over_every_interval_and_band(inside: Inside) -> None:
    raw = {
        "band": {"low": "2.5", "high": "3.5"},
        "score_days": "7",
        "weight_days": "10",
        "reason": "Convalescent.",
        "until": (NOW + timedelta(days=60)).isoformat(),
    }
    with inside("keziah") as viewer:
        vet_orders.give_vet_order(viewer, cast.ref("Teasel"), raw, now=NOW)
        weighings.record_weighing(viewer, weighed("471"), now=NOW)
        held = Standing.objects.get(horse__ref=cast.ref("Teasel"))
        assert (held.score_days, held.weight_days) == (7, 10)
        assert held.weight_due_at == NOW + timedelta(days=10)
        assert held.interval_reason == "interval_vet"
    with inside("isolde") as viewer, pytest.raises(errors.NotAllowed):
        vet_orders.give_vet_order(viewer, cast.ref("Teasel"), raw, now=NOW)


def test_when_the_vets_order_ends_the_morning_works_out_what_holds_now(inside: Inside) -> None:
    ends = NOW + timedelta(days=6)
    raw = {"weight_days": "5", "reason": "Convalescent.", "until": ends.isoformat()}
    with inside("keziah") as viewer:
        weighings.record_weighing(viewer, weighed("471"), now=NOW)
        vet_orders.give_vet_order(viewer, cast.ref("Teasel"), raw, now=NOW)
    for at, days in ((ends - timedelta(hours=1), 5), (ends + timedelta(hours=1), 28)):
        with alarms.as_system():
            sweep.ensure_sweep(alarms.SYSTEM, alarms.yard("Top Barn"), at)
        timers.run_due(now=at)
        with inside("isolde"):
            held = Standing.objects.get(horse__ref=cast.ref("Teasel"))
            assert held.weight_days == days
            assert held.weight_due_at == NOW + timedelta(days=days)
            settled = held.updated_at
    timers.run_due(now=ends + timedelta(days=1))
    with inside("isolde"):
        assert Standing.objects.get(horse__ref=cast.ref("Teasel")).updated_at == settled, "once"
