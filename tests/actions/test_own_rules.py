"""A rule in the organisation's hands: what changes, what must open, what is left standing."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import timedelta
from typing import Any

import pytest

from scoring.actions import alerts, assessments, own_rules, rule_exceptions, sweep
from scoring.models import Alert, RuleSetting, Timer
from scoring.queries import rules
from tests import alarms, cast, readings
from tests.actions.record import entries, racing, refused
from yards import isolation
from yards.rules import errors
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
NOW = alarms.NOW
DAY = timedelta(days=1)


def change(viewer: Viewer, rule: str = "fat_in_spring", **raw: Any) -> own_rules.ChangedRule:
    sent = {"version": 1, "reason": "Our vet asks for it", **raw}
    return own_rules.change_rule(viewer, rule, sent, now=NOW)


def five(value: str | None) -> dict[str, Any]:
    return {"five": {"overall": value}}


def fat(viewer: Viewer, score: str = "4") -> Alert:
    raw = readings.raw("Teasel", NOW - DAY, score, score, score)
    assessments.record_assessment(viewer, raw, now=NOW - DAY)
    return Alert.objects.get(rule="fat_in_spring", horse__name="Teasel")


def swept(now: Any = NOW) -> None:
    """Run the sweep of Top Barn, as the worker does."""
    with isolation.of(alarms.SYSTEM):
        timer = Timer.objects.get(kind="sweep", yard=alarms.yard("Top Barn"))
        sweep.run(alarms.SYSTEM, timer, now)


def test_a_change_is_kept_with_who_why_before_and_after(inside: Inside) -> None:
    with inside("isolde") as viewer:
        done = change(viewer, thresholds=five("4.5"))
        assert done.version == 2
        card = rules.get_rule(viewer, "fat_in_spring", now=NOW)
        assert [(each.key, str(each.value)) for each in card.thresholds if each.is_own] == [
            ("five.overall", "4.5")
        ]
        assert card.set_by is not None
        assert card.reason == "Our vet asks for it"
        row = RuleSetting.objects.get()
        [(verb, actor, at, said)] = entries(row.ref)
        assert (verb, actor, at) == ("rule.changed", f"person:{cast.ref('isolde')}", NOW)
        assert said["before"] == {"on": True, "thresholds": {}}
        assert said["after"] == {"on": True, "thresholds": {"five.overall": "4.5"}}
        # Back to the default is no own value any more.
        change(viewer, thresholds=five(None), version=2)
        assert RuleSetting.objects.get().thresholds == {}


@pytest.mark.parametrize(
    ("rule", "raw", "fault"),
    [
        ("emaciated", {"on": False}, ("on", "never_switched_off")),
        ("danger_signs", {"on": False}, ("on", "never_switched_off")),
        ("emaciated", {"thresholds": five("0.5")}, ("thresholds.five.overall", "out_of_range")),
        ("fat", {"thresholds": five("5")}, ("thresholds.five.overall", "out_of_range")),
        ("fat", {"thresholds": five("3.75")}, ("thresholds.five.overall", "off_the_half_points")),
        (
            "fat",
            {"thresholds": {"nine": {"crest": "3"}}},
            ("thresholds.nine.crest", "unknown_field"),
        ),
        ("fat", {"on": False, "reason": ""}, ("reason", "required")),
        ("fat", {"on": True}, ("thresholds", "rule_is_so_already")),
    ],
)
def test_what_is_not_safe_or_not_said_is_refused(
    inside: Inside, rule: str, raw: dict[str, Any], fault: tuple[str, str]
) -> None:
    with inside("isolde") as viewer:
        assert refused(lambda: change(viewer, rule, **raw)) == (errors.Invalid, [fault])
        assert not RuleSetting.objects.exists()


@pytest.mark.parametrize("key", ["maud", "keziah", "hollis"])
def test_only_a_coordinator_changes_rules(inside: Inside, key: str) -> None:
    with inside(key) as viewer:
        assert refused(lambda: change(viewer, on=False))[0] is errors.NotAllowed


def test_of_two_who_saw_the_same_version_one_is_told_so(inside: Inside) -> None:
    def once(viewer: Viewer) -> str:
        try:
            change(viewer, thresholds=five("4.5"))
        except errors.Conflict as conflict:
            return conflict.errors[0].key
        return "kept"

    with inside("isolde"):
        pass
    assert sorted(racing("isolde", once, 3)) == ["kept", "stale_version", "stale_version"]


def test_a_lower_threshold_opens_what_must_open(inside: Inside) -> None:
    with inside("isolde") as viewer:
        raw = readings.raw("Teasel", NOW - DAY, "3.5", "3.5", "3.5")
        assessments.record_assessment(viewer, raw, now=NOW - DAY)
        change(viewer, thresholds=five("3.5"))
        assert Timer.objects.filter(kind="sweep", due_at__lte=NOW).count() >= 1
    swept()
    with inside("isolde"):
        assert Alert.objects.get(rule="fat_in_spring").state == "open"


def test_what_is_no_longer_asked_for_stands_until_a_reading_or_a_person(inside: Inside) -> None:
    with inside("isolde") as viewer:
        alert = fat(viewer)
        done = change(viewer, thresholds=five("4.5"))
        assert (done.left_open, done.resolved) == (1, 0)
    swept()
    swept(NOW + DAY)
    with inside("isolde") as viewer:
        alert.refresh_from_db()
        assert (alert.state, alert.unasked_since) == ("open", NOW)
        change(viewer, thresholds=five("4.0"), version=2)
        alert.refresh_from_db()
        assert alert.unasked_since is None, "asked for again"
        change(viewer, on=False, version=3)
        thinner = readings.raw("Teasel", NOW, "3", "3", "3")
        assessments.record_assessment(viewer, thinner, now=NOW)
        alert.refresh_from_db()
        assert alert.state == "open", "a rule that is off judges nothing"
        alerts.resolve(viewer, alert.ref, {"reason": "Scored 3 today"}, now=NOW)


def test_a_reading_clears_what_is_no_longer_asked_for(inside: Inside) -> None:
    with inside("isolde") as viewer:
        alert = fat(viewer)
        change(viewer, thresholds=five("4.5"))
        same = readings.raw("Teasel", NOW, "4", "4", "4")
        assessments.record_assessment(viewer, same, now=NOW)
        alert.refresh_from_db()
        assert (alert.state, alert.resolution) == ("resolved", "reading")


def test_whoever_changes_the_rule_may_resolve_with_its_reason(inside: Inside) -> None:
    with inside("isolde") as viewer:
        alert = fat(viewer)
        done = change(viewer, thresholds=five("4.5"), resolve=True)
        assert (done.left_open, done.resolved) == (0, 1)
        alert.refresh_from_db()
        assert (alert.state, alert.resolution) == ("resolved", "setting")
        assert alert.resolved_by_id == viewer.person
        assert alert.resolve_reason == "Our vet asks for it"
        # Back again: it is no answer of a person's to this evidence, so it opens anew.
        change(viewer, thresholds=five(None), version=2)
    swept()
    with inside("isolde"):
        assert Alert.objects.filter(rule="fat_in_spring").exclude(state="resolved").count() == 1


def test_no_setting_resolves_what_protects_life(inside: Inside) -> None:
    with inside("isolde") as viewer:
        change(viewer, "emaciated", thresholds=five("2"))
        raw = readings.raw("Teasel", NOW - DAY, "2", "2", "2")
        assessments.record_assessment(viewer, raw, now=NOW - DAY)
        alert = Alert.objects.get(rule="emaciated")
        done = change(viewer, "emaciated", thresholds=five(None), version=2, resolve=True)
        assert (done.left_open, done.resolved) == (1, 0)
        alert.refresh_from_db()
        assert alert.state == "open"


def except_from(viewer: Viewer, **raw: Any) -> Any:
    sent = {
        "rule": "fat_in_spring",
        "horse": str(cast.ref("Teasel")),
        "on": False,
        "until": (NOW + 10 * DAY).isoformat(),
        "reason": "On a signed plan",
        **raw,
    }
    return rule_exceptions.give(viewer, {k: v for k, v in sent.items() if v is not None}, now=NOW)


def test_an_exception_silences_one_horse_and_ends_by_itself(inside: Inside) -> None:
    with inside("keziah") as viewer:
        made = except_from(viewer)
        assert made.state == "in_force"
        assert made.named == "Teasel"
        raw = readings.raw("Teasel", NOW, "4", "4", "4")
        assessments.record_assessment(viewer, raw, now=NOW)
        assert not Alert.objects.filter(rule="fat_in_spring").exists()
    swept(NOW + timedelta(minutes=1))
    with inside("isolde"):
        timer = Timer.objects.get(kind="sweep", yard=alarms.yard("Top Barn"))
        assert timer.due_at is not None
        assert timer.due_at < NOW + DAY
        Timer.objects.filter(id=timer.id).update(due_at=NOW + 9.9 * DAY)
    swept(NOW + 9.9 * DAY)
    with inside("isolde"):
        assert not Alert.objects.filter(rule="fat_in_spring").exists()
        timer = Timer.objects.get(kind="sweep", yard=alarms.yard("Top Barn"))
        assert timer.due_at == NOW + 10 * DAY, "due when it ends, not only in the morning after"
    swept(NOW + 10 * DAY)
    with inside("isolde"):
        assert Alert.objects.get(rule="fat_in_spring").state == "open"


def test_an_exception_of_a_yard_is_the_coordinators(inside: Inside) -> None:
    yard = {"horse": None, "yard": str(cast.ref("Top Barn"))}
    with inside("keziah") as viewer:
        assert refused(lambda: except_from(viewer, **yard))[0] is errors.NotAllowed
    with inside("maud") as viewer:
        assert refused(lambda: except_from(viewer))[0] is errors.NotAllowed
    with inside("isolde") as viewer:
        alert = fat(viewer)
        made = except_from(viewer, **yard, on=None, thresholds=five("4.5"))
        alert.refresh_from_db()
        assert (alert.state, alert.unasked_since) == ("open", NOW)
        ended = rule_exceptions.end(viewer, made.id, {"reason": "A mistake"}, now=NOW + DAY)
        assert (ended.state, ended.end_reason) == ("over", "A mistake")
        alert.refresh_from_db()
        assert alert.unasked_since is None
        said = [verb for verb, *_ in entries(made.id)]
        assert said == ["rule_exception.given", "rule_exception.ended"]
        again = refused(lambda: rule_exceptions.end(viewer, made.id, {"reason": "x"}, now=NOW))
        assert again == (errors.Conflict, [("", "exception_is_over")])


@pytest.mark.parametrize(
    ("raw", "fault"),
    [
        ({"rule": "emaciated"}, ("on", "never_switched_off")),
        ({"on": None}, ("thresholds", "exception_changes_nothing")),
        ({"reason": None}, ("reason", "required")),
        ({"until": None}, ("until", "required")),
        ({"until": NOW.isoformat()}, ("until", "must_be_later_than_now")),
        ({"until": (NOW + 400 * DAY).isoformat()}, ("until", "too_far_off")),
        ({"horse": None}, ("horse", "yard_or_horse")),
        ({"horse": str(cast.ref("nobody"))}, ("horse", "unknown_reference")),
    ],
)
def test_an_exception_says_of_whom_why_and_until_when(
    inside: Inside, raw: dict[str, Any], fault: tuple[str, str]
) -> None:
    with inside("keziah") as viewer:
        assert refused(lambda: except_from(viewer, **raw)) == (errors.Invalid, [fault])


def test_the_nearest_setting_counts(inside: Inside) -> None:
    with inside("isolde") as viewer:
        change(viewer, thresholds=five("4.5"))
        top = {"horse": None, "yard": str(cast.ref("Top Barn"))}
        except_from(viewer, **top, on=False)
        except_from(viewer, on=None, thresholds=five("3.5"))
        acting = rules.acting_on(viewer, cast.ref("Teasel"), "fat_in_spring", now=NOW)
        assert acting.is_on
        assert acting.exception is not None
        assert acting.exception.horse == cast.ref("Teasel")
        assert {each.key: str(each.value) for each in acting.thresholds if each.is_own} == {
            "five.overall": "3.5"
        }
        # Another of the same horse takes the first's place.
        except_from(viewer, on=False)
        held = list(rules.get_rule(viewer, "fat_in_spring", now=NOW).exceptions)
        assert sorted(each.named for each in held) == ["Teasel", "Top Barn"]


def test_the_same_exception_sent_twice_is_one(inside: Inside) -> None:
    ref = str(cast.ref("an exception"))
    with inside("keziah") as viewer:
        assert not except_from(viewer, id=ref).replayed
        assert except_from(viewer, id=ref).replayed
        other = refused(lambda: except_from(viewer, id=ref, reason="Other"))
        assert other == (errors.Conflict, [("id", "same_id_other_content")])
