"""Alerts are acknowledged with a next step, resolved with a reason, and some may be put off."""

from datetime import timedelta
from typing import Any

import pytest

from scoring.actions import alerts
from scoring.models import Alert, Notice, Standing
from scoring.rules import ladder
from tests import alarms
from tests.alarms import NOW, entries, finding, raised, running
from yards.rules import errors

pytestmark = pytest.mark.usefixtures("no_standings")

STEP = {"next_step": "Ferrow Vets visit"}
LATER = NOW + timedelta(minutes=20)


def faults(refusal: errors.Refused) -> list[tuple[str, str]]:
    return [(each.field, each.key) for each in refusal.errors]


@pytest.mark.parametrize(("severity", "hours"), [("urgent", 2), ("act", 24)], ids=["urgent", "act"])
def test_acknowledging_stops_the_ladder_and_sets_the_follow_up(
    inside: Any, severity: str, hours: int
) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding("danger_signs", severity))
        card = alerts.acknowledge(viewer, alert.ref, {**STEP, "note": "Rang at once."}, now=LATER)
        assert (card.state, card.next_step, card.version) == ("acknowledged", STEP["next_step"], 2)
        assert card.next_step_by == LATER + timedelta(hours=hours)
        assert card.acknowledged_by is not None
        assert card.acknowledged_by.name == "Maud Pell"
        assert running() == [("follow_up", card.next_step_by)]
        [(_verb, actor, payload)] = entries("alert.acknowledged")
        assert actor == f"person:{viewer.person}"
        assert b"Ferrow Vets visit" in payload
        assert Standing.objects.get().open_alerts == 1


def test_a_next_step_must_be_named_and_fall_within_what_the_severity_allows(inside: Any) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding("danger_signs", "urgent"))
        with pytest.raises(errors.Invalid) as refusal:
            alerts.acknowledge(
                viewer, alert.ref, {"next_step": " ", "by": NOW + timedelta(days=9)}, now=NOW
            )
        assert faults(refusal.value) == [("next_step", "required"), ("by", "too_far_off")]
        with pytest.raises(errors.Invalid) as refusal:
            alerts.acknowledge(viewer, alert.ref, {**STEP, "by": NOW}, now=NOW)
        assert faults(refusal.value) == [("by", "must_be_later_than_now")]
        assert Alert.objects.get().state == "open"


def test_a_stale_version_and_a_resolved_alert_are_conflicts(inside: Any) -> None:
    with inside("isolde") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        alerts.acknowledge(viewer, alert.ref, {**STEP, "version": 1}, now=NOW)
        with pytest.raises(errors.Conflict) as refusal:
            alerts.resolve(viewer, alert.ref, {"reason": "Slim now", "version": "1"}, now=NOW)
        assert faults(refusal.value) == [("version", "stale_version")]
        alerts.resolve(viewer, alert.ref, {"reason": "Slim now", "version": "2"}, now=NOW)
        with pytest.raises(errors.Conflict) as refusal:
            alerts.acknowledge(viewer, alert.ref, STEP, now=NOW)
        assert faults(refusal.value) == [("state", "alert_is_resolved")]


def test_resolving_calls_off_what_runs_and_what_waits(inside: Any) -> None:
    with inside("isolde") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        card = alerts.resolve(viewer, alert.ref, {"reason": "On a signed plan"}, now=LATER)
        assert (card.state, card.resolution, card.resolve_reason) == (
            "resolved",
            "person",
            "On a signed plan",
        )
        assert running() == []
        assert Notice.objects.get().state == "called_off"
        assert Standing.objects.get().open_alerts == 0
        assert [verb for verb, *_ in entries("alert.resolved")] == ["alert.resolved"]


@pytest.mark.parametrize("rule", sorted(ladder.PROTECTED))
def test_what_protects_life_is_resolved_by_a_vet_or_with_what_the_vet_said(
    inside: Any, rule: str
) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding(rule, "urgent"))
        with pytest.raises(errors.NotAllowed):
            alerts.resolve(viewer, alert.ref, {"reason": "Fine", "vet_said": "Fine"}, now=NOW)
    with inside("isolde") as viewer:
        with pytest.raises(errors.Invalid) as refusal:
            alerts.resolve(viewer, alert.ref, {"reason": "Fine"}, now=NOW)
        assert faults(refusal.value) == [("vet_said", "vet_said_required")]
        said = {"reason": "Seen today", "vet_said": "Dr Orme, 14 April: feed as she set."}
        assert alerts.resolve(viewer, alert.ref, said, now=NOW).vet_said == said["vet_said"]
    with inside("keziah") as viewer:
        [again] = raised(viewer, "Teasel", finding(rule, "urgent"))
        assert alerts.resolve(viewer, again.ref, {"reason": "Seen"}, now=NOW).state == "resolved"


def test_a_snooze_names_its_end_and_reason_and_urgent_alerts_have_none(inside: Any) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        until = NOW + timedelta(days=3)
        card = alerts.snooze(viewer, alert.ref, {"until": until, "reason": "Vet comes"}, now=NOW)
        assert (card.state, card.snoozed_until, card.snooze_reason) == (
            "snoozed",
            until,
            "Vet comes",
        )
        assert running() == [("snooze_end", until)]
        [urgent] = raised(viewer, "Tansy", finding("danger_signs", "urgent"))
        with pytest.raises(errors.Invalid) as refusal:
            alerts.snooze(viewer, urgent.ref, {"until": until, "reason": "Busy"}, now=NOW)
        assert faults(refusal.value) == [("until", "urgent_never_snoozed")]
        with pytest.raises(errors.Invalid) as refusal:
            alerts.snooze(viewer, alert.ref, {"until": NOW + timedelta(days=15)}, now=NOW)
        assert faults(refusal.value) == [("reason", "required"), ("until", "too_far_off")]


ANSWERS = {
    "acknowledge": STEP,
    "resolve": {"reason": "Slim now"},
    "snooze": {"until": NOW + timedelta(days=1), "reason": "Vet comes"},
}


@pytest.mark.parametrize("answer", ANSWERS)
def test_others_cannot_answer(inside: Any, answer: str) -> None:
    act = getattr(alerts, answer)
    with inside("isolde") as viewer:
        [alert] = raised(viewer, "Marram", finding())
    with inside("hollis") as viewer, pytest.raises(errors.NotAllowed):
        act(viewer, alert.ref, ANSWERS[answer], now=NOW)
    for outsider in ("maud", "perran"):  # out of her yards; another organisation
        with inside(outsider) as viewer, pytest.raises(errors.NotFound):
            act(viewer, alert.ref, ANSWERS[answer], now=NOW)
    with alarms.as_system():
        assert Alert.objects.get().version == 1
