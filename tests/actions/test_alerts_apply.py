"""What the rules find becomes alerts: one open a horse and rule, with its notices and timers."""

import threading
from datetime import timedelta
from typing import Any

import pytest
import uuid_utils.compat as uuid_utils
from django.db import connections

from scoring.actions import alerts, episodes, notices
from scoring.models import Alert, AlertSighting, Notice, Standing, Timer
from scoring.queries import alerts as queries
from scoring.rules import ladder
from tests import alarms, cast, factories
from tests.alarms import NOW, finding, raised, scored
from tests.conftest import viewer_of
from yards import isolation
from yards.models import Grant, GrantHorse
from yards.rules import errors

pytestmark = pytest.mark.usefixtures("no_standings")


def test_a_finding_opens_one_alert_and_tells_who_coordinates_the_yard(inside: Any) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        assert (alert.state, alert.severity, alert.version) == ("open", "act", 1)
        assert alarms.told() == {("alert", "isolde")}
        assert Notice.objects.get().due_at == NOW
        assert alarms.running() == [("escalate", NOW + ladder.ESCALATE_AFTER["act"])]
        assert Standing.objects.get().open_alerts == 1


def test_the_same_finding_again_renews_the_alert_and_tells_nobody_again(inside: Any) -> None:
    with inside("maud") as viewer:
        [first] = raised(viewer, "Teasel", finding(overall="4.17"))
        [again] = raised(viewer, "Teasel", finding(overall="4.50"), now=NOW + timedelta(days=1))
        assert (again.id, again.version) == (first.id, 2)
        assert again.seen_at == NOW + timedelta(days=1)
        assert Alert.objects.get().said["reason"][1]["overall"] == "4.50"
        assert Notice.objects.count() == 1


def test_what_is_urgent_goes_to_the_vet_as_well_and_at_once(inside: Any) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("danger_signs", "urgent"))
        assert alarms.told() == {("alert", "isolde"), ("alert", "keziah")}
        assert set(Notice.objects.values_list("due_at", flat=True)) == {NOW}


def test_what_is_only_to_be_watched_waits_for_the_daily_reminder(inside: Any) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("crest_raised", "watch"))
        assert Standing.objects.get().open_alerts == 1
        assert not Notice.objects.exists()
        assert alarms.running() == []


@pytest.mark.parametrize("vet", ["elsewhere", "unconfirmed", "of the named horse"])
def test_a_vet_is_told_only_of_what_a_grant_in_force_covers(inside: Any, vet: str) -> None:
    with alarms.as_system():
        grants = Grant.objects.filter(person_id=cast.ref("keziah"))
        grants.update(all_yards=False)
        if vet == "unconfirmed":
            grants.update(all_yards=True, confirmed_at=None)
        elif vet == "elsewhere":
            factories.grant_yard(grants.get(), cast.ref("Sallow Field"))
        else:
            GrantHorse.objects.create(
                organisation_id=cast.ref(cast.QUILLET),
                ref=uuid_utils.uuid7(),
                grant=grants.get(),
                horse=alarms.horse("Teasel"),
            )
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding("danger_signs", "urgent"))
        told = {("alert", "isolde")}
        assert alarms.told() == (told | {("alert", "keziah")} if "named" in vet else told)


def test_that_nobody_can_be_told_is_logged(inside: Any, caplog: pytest.LogCaptureFixture) -> None:
    with alarms.as_system():
        Grant.objects.filter(role="coordinator").update(revoked_at=NOW)
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
        assert not Notice.objects.exists()
        assert alarms.running() != []  # the next rung still comes
    assert "nobody holds a grant" in caplog.text


def test_severity_rises_and_never_sinks_and_a_rise_begins_the_ladder_anew(inside: Any) -> None:
    later = NOW + timedelta(hours=1)
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding("crest_raised", "act"))
        alerts.acknowledge(viewer, alert.ref, {"next_step": "Vet rung"}, now=NOW)
        [worse] = raised(viewer, "Teasel", finding("crest_raised", "urgent"), now=later)
        assert (worse.severity, worse.state, worse.version) == ("urgent", "open", 3)
        # Whoever had taken it on is told besides.
        again = Notice.objects.filter(kind="alert", due_at=later)
        assert alarms.told(again) == {("alert", each) for each in ("isolde", "keziah", "maud")}
        assert alarms.running() == [("escalate", later + ladder.ESCALATE_AFTER["urgent"])]
        [better] = raised(viewer, "Teasel", finding("crest_raised", "watch"), now=later)
        assert (better.severity, better.version) == ("urgent", 4)
        assert Notice.objects.filter(kind="alert").count() == 4


def test_a_reading_clears_what_a_reading_may_and_leaves_what_was_not_judged(inside: Any) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding(), finding("losing_fast"))
        assert raised(viewer, "Teasel", judged={"fat_in_spring"}) == []
        states = dict(Alert.objects.values_list("rule", "state"))
        assert states == {"fat_in_spring": "resolved", "losing_fast": "open"}
        assert Alert.objects.get(rule="fat_in_spring").resolution == "reading"
        assert Standing.objects.get().open_alerts == 1
        assert len(alarms.running()) == 1


@pytest.mark.parametrize("rule", ["emaciated", "danger_signs"])
def test_no_reading_clears_what_protects_life(inside: Any, rule: str) -> None:
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding(rule, "urgent"))
        raised(viewer, "Teasel", judged={rule})
        assert Alert.objects.get().state == "open"


def test_the_same_again_after_it_was_resolved_is_a_new_episode(inside: Any) -> None:
    with inside("maud") as viewer:
        [first] = raised(viewer, "Teasel", finding())
        raised(viewer, "Teasel", judged={"fat_in_spring"})
        [second] = raised(viewer, "Teasel", finding(), now=NOW + timedelta(days=9))
        assert first.ref != second.ref
        assert list(Alert.objects.order_by("id").values_list("state", flat=True)) == [
            "resolved",
            "open",
        ]
        assert Notice.objects.filter(state="pending").count() == 1


def test_a_reading_keeps_the_alert_as_it_stood(inside: Any) -> None:
    with inside("maud") as viewer:
        first = scored("Teasel", 8, 9, 8, at=NOW)
        [alert] = raised(viewer, "Teasel", finding(), assessment=first)
        alerts.acknowledge(viewer, alert.ref, {"next_step": "Vet rung"}, now=NOW)
        second = scored("Teasel", 8, 8, 8, at=NOW)
        raised(viewer, "Teasel", finding(overall="4.00"), assessment=second)
        seen = AlertSighting.objects.order_by("id")
        assert list(seen.values_list("assessment_id", "state", "version")) == [
            (first.id, "open", 1),
            (second.id, "acknowledged", 3),
        ]
        assert [each.said["reason"][1]["overall"] for each in seen] == ["4.17", "4.00"]


def test_found_again_after_the_promised_time_it_asks_for_a_new_answer(inside: Any) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
        card = alerts.acknowledge(viewer, alert.ref, {"next_step": "Vet rung"}, now=NOW)
        assert card.next_step_by is not None
        before, after = card.next_step_by - timedelta(hours=1), card.next_step_by
        [kept] = raised(viewer, "Teasel", finding(), now=before)
        assert kept.state == "acknowledged"
        [opened] = raised(viewer, "Teasel", finding(), now=after)
        assert opened.state == "open"
        again = Notice.objects.filter(kind="alert", created_at=after)
        assert alarms.told(again) == {("alert", "isolde"), ("alert", "maud")}


def test_readings_at_once_from_eight_phones_open_one_alert(inside: Any) -> None:
    with alarms.as_system():
        alarms.standing_of(alarms.horse("Teasel"))
    viewer = viewer_of("maud")
    start = threading.Barrier(8)

    def work() -> None:
        start.wait()
        try:
            with isolation.of(viewer):
                list(Standing.objects.select_for_update())
                raised(viewer, "Teasel", finding())
        finally:
            connections.close_all()

    workers = [threading.Thread(target=work) for _ in range(8)]
    for each in workers:
        each.start()
    for each in workers:
        each.join()
    with inside("isolde"):
        assert list(Alert.objects.values_list("state", "version")) == [("open", 8)]
        assert Notice.objects.count() == 1


def test_alerts_follow_the_horse_and_end_with_it(inside: Any) -> None:
    with inside("isolde") as viewer:
        raised(viewer, "Teasel", finding("emaciated", "urgent"))
        animal = alarms.horse("Teasel")
        animal.yard = alarms.yard("Sallow Field")
        episodes.move(viewer, animal, NOW)
        assert Alert.objects.get().yard == animal.yard
        episodes.end(viewer, animal, NOW)
        alert = Alert.objects.get()
        assert (alert.state, alert.resolution) == ("resolved", "gone")
        assert alarms.running() == []
        assert set(Notice.objects.values_list("state", flat=True)) == {"called_off"}
        assert Standing.objects.get().open_alerts == 0


def test_another_organisation_sees_nothing_of_it(inside: Any) -> None:
    with inside("maud") as viewer:
        [alert] = raised(viewer, "Teasel", finding())
    with inside("perran") as viewer:
        assert queries.list_alerts(viewer).items == ()
        with pytest.raises(errors.NotFound):
            queries.get_alert(viewer, alert.ref)
        assert (Notice.objects.count(), Timer.objects.count()) == (0, 0)


def test_a_wake_up_is_hinted_once_after_the_commit_and_its_faults_are_swallowed(
    inside: Any, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    calls: list[int] = []

    def waker() -> None:
        calls.append(Notice.objects.count())
        raise OSError

    monkeypatch.setattr(notices, "wakers", [waker])
    with inside("maud") as viewer:
        raised(viewer, "Teasel", finding())
        raised(viewer, "Tansy", finding())
        assert calls == []
    assert len(calls) == 1
    assert "wake-up could not be sent" in caplog.text
