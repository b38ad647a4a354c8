"""A coordinator changes who is told: within limits, shown before, entered, heeded at once."""

from datetime import timedelta
from typing import Any

import pytest

from scoring.actions import absences, own_policies, timers
from scoring.models import Alert, Notice
from scoring.queries import policies
from tests import alarms, cast
from tests.alarms import NOW, entries, finding, raised, running
from yards.models import Grant
from yards.rules import errors

pytestmark = pytest.mark.usefixtures("no_standings")

MINUTE = timedelta(minutes=1)
MAUD = str(cast.ref("maud"))
LADDER: dict[str, Any] = {
    "steps": [
        {"after_minutes": 0, "roles": ["coordinator"]},
        {"after_minutes": 15, "roles": ["coordinator", "vet"], "people": [MAUD]},
        {"after_minutes": 45, "roles": ["vet"]},
    ],
    "repeat_minutes": 20,
}


def change(**more: Any) -> dict[str, Any]:
    return {**LADDER, "reason": "As we work", "version": 1, **more}


def faults(refusal: Any) -> list[tuple[str, str]]:
    return [(each.field, each.key) for each in refusal.value.errors]


def test_alerts_go_by_the_organisation_s_own_ladder(inside: Any) -> None:
    with inside("isolde") as viewer:
        card = own_policies.change_policy(viewer, "urgent", change(accept_unreached=True), now=NOW)
        assert (card.is_own, card.version, len(card.policy.rungs)) == (True, 2, 3)
        [(_, actor, payload)] = entries("policy.changed")
        assert actor == f"person:{viewer.person}"
        assert b'"before"' in payload
        assert b"As we work" in payload
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("danger_signs", "urgent"))
        assert alarms.told() == {("alert", "isolde")}
    for minutes in (15, 45, 65, 85):
        assert timers.run_due(now=NOW + minutes * MINUTE) == 1
    with inside("isolde"):
        second = Notice.objects.filter(created_at=NOW + 15 * MINUTE)
        assert alarms.told(second) == {
            *(("escalation", name) for name in ("isolde", "keziah", "maud"))
        }
        last = Notice.objects.filter(created_at=NOW + 85 * MINUTE)
        assert alarms.told(last) == {("escalation", "keziah")}
        assert Alert.objects.get().exhausted_at == NOW + 65 * MINUTE


def test_a_ladder_that_is_changed_while_an_alert_climbs_holds_from_its_next_step(
    inside: Any,
) -> None:
    with inside("isolde") as viewer:
        raised(viewer, "Teasel", finding("danger_signs", "urgent"))
        short = {"steps": LADDER["steps"][:1]}
        own_policies.change_policy(viewer, "urgent", change(**short), now=NOW)
    timers.run_due(now=NOW + 30 * MINUTE)
    with inside("isolde"):
        held = Alert.objects.get()
        assert held.exhausted_at == NOW + 30 * MINUTE
        assert running() == [("escalate", NOW + 50 * MINUTE)]


def test_a_step_that_reaches_nobody_is_saved_only_by_who_accepts_it(inside: Any) -> None:
    with alarms.as_system():
        Grant.objects.filter(person_id=cast.ref("keziah")).update(revoked_at=NOW)
    with inside("isolde") as viewer:
        found = policies.preview(viewer, "urgent", LADDER, now=NOW)
        missed = [(each.rung, list(each.yards)) for each in found.unreached]
        assert missed == [(2, ["Nether Paddocks", "Sallow Field", "Top Barn"])]
        with pytest.raises(errors.Invalid) as refusal:
            own_policies.change_policy(viewer, "urgent", change(), now=NOW)
        assert faults(refusal) == [("steps.2", "step_reaches_nobody")]
        own_policies.change_policy(viewer, "urgent", change(accept_unreached=True), now=NOW)


def test_a_preview_names_nobody_at_a_time_for_which_they_are_away(inside: Any) -> None:
    """As the telling will have it: each step by who is away then, not by who is away today."""
    sent = {**LADDER, "at": NOW.isoformat(), "yard": str(cast.ref("Top Barn"))}
    with inside("isolde") as viewer:
        raw = {"person": MAUD, "until": (NOW + timedelta(days=2)).isoformat()}
        begins = {"from": (NOW + 10 * MINUTE).isoformat(), "reason": "Holiday"}
        absences.set_away(viewer, {**raw, **begins}, now=NOW)
        found = policies.preview(viewer, "urgent", sent, now=NOW)
        assert {one.name for one in found.steps[1].people} == {"Dr Keziah Orme", "Isolde Kerr"}
        back = {**sent, "at": (NOW + timedelta(days=2)).isoformat()}
        found = policies.preview(viewer, "urgent", back, now=NOW)
        assert "Maud Pell" in {one.name for one in found.steps[1].people}


def test_who_may_not_hear_of_alerts_is_not_named(inside: Any) -> None:
    for person in ("hollis", "perran"):
        steps = [{"after_minutes": 0, "people": [str(cast.ref(person))]}]
        with inside("isolde") as viewer, pytest.raises(errors.Invalid) as refusal:
            own_policies.change_policy(viewer, "urgent", change(steps=steps), now=NOW)
        assert faults(refusal) == [("steps.0.people", "unknown_reference")]


def test_a_stale_or_empty_change_is_refused_and_only_coordinators_change(inside: Any) -> None:
    with inside("isolde") as viewer:
        own_policies.change_policy(viewer, "urgent", change(), now=NOW)
        with pytest.raises(errors.Conflict):
            own_policies.change_policy(viewer, "urgent", change(), now=NOW)
        with pytest.raises(errors.Invalid) as refusal:
            own_policies.change_policy(viewer, "urgent", change(version=2), now=NOW)
        assert faults(refusal) == [("steps", "policy_is_so_already")]
        with pytest.raises(errors.Invalid) as refusal:
            own_policies.change_policy(viewer, "urgent", change(steps=[], version=2), now=NOW)
        assert faults(refusal) == [("steps", "ladder_never_empty")]
        with pytest.raises(errors.NotFound):
            own_policies.change_policy(viewer, "grave", change(), now=NOW)
    with inside("keziah") as viewer, pytest.raises(errors.NotAllowed):
        own_policies.change_policy(viewer, "urgent", change(), now=NOW)


def test_a_preview_is_what_then_happens(inside: Any) -> None:
    with inside("isolde") as viewer:
        sent = {**LADDER, "at": NOW.isoformat(), "yard": str(cast.ref("Top Barn"))}
        found = policies.preview(viewer, "urgent", sent, now=NOW)
        told = [(each.at, {one.name for one in each.people}) for each in found.steps]
        own_policies.change_policy(viewer, "urgent", change(), now=NOW)
        raised(viewer, "Teasel", finding("danger_signs", "urgent"))
    for at, _ in told[1:]:
        timers.run_due(now=at)
    with inside("isolde"):
        rows = Notice.objects.select_related("person").order_by("created_at")
        really: dict[Any, set[str]] = {}
        for row in rows:
            really.setdefault(row.created_at, set()).add(row.person.name)
        assert list(really.items()) == told
