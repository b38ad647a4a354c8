"""The risk rules at work: what readings, moves and mornings open, and what stands for what."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import replace
from datetime import UTC, datetime, timedelta

from scoring.actions import assessments, deliver, instruments, subjects, sweep, timers, weighings
from scoring.models import Alert, Notice, Standing
from scoring.queries import after_round, evidence, yard_evidence
from scoring.queries import assessments as queries
from tests import alarms, cast, mailbox, readings
from yards.actions import events, horses
from yards.rules.roles import Viewer

Inside = Callable[..., AbstractContextManager[Viewer]]
# A Monday in winter, 09:00 in every yard.
NOW = datetime(2026, 1, 12, 9, tzinfo=UTC)
DAY, WEEK = timedelta(days=1), timedelta(days=7)


def scored(
    viewer: Viewer, horse: str, at: datetime, *scores: str | None, **told: object
) -> queries.AssessmentAnswer:
    raw = readings.raw(horse, at, *scores, **told)
    return assessments.record_assessment(viewer, raw, now=at)


def donkey(viewer: Viewer, at: datetime, overall: str, **told: object) -> queries.AssessmentAnswer:
    raw = {
        "horse": str(cast.ref("Wagtail")),
        "taken_at": at.isoformat(),
        "scale": "donkey",
        "manner": "palpated",
        "overall": overall,
        **told,
    }
    return assessments.record_assessment(viewer, raw, now=at)


def weighed(viewer: Viewer, horse: str, at: datetime, kg: float, tape: str = "") -> None:
    tool = {"method": "weigh_tape", "instrument": tape} if tape else {"method": "weighbridge"}
    raw = {"horse": str(cast.ref(horse)), "taken_at": at.isoformat(), "weight_kg": f"{kg:.1f}"}
    weighings.record_weighing(viewer, {**raw, **tool}, now=at)


def tape(viewer: Viewer, label: str) -> str:
    made = instruments.add_instrument(viewer, {"kind": "weigh_tape", "label": label}, now=NOW)
    return str(made.id)


def swept(place: str, at: datetime) -> None:
    with alarms.as_system():
        sweep.ensure_sweep(alarms.SYSTEM, alarms.yard(place), at)
    timers.run_due(now=at)


def held(horse: str) -> dict[str, str]:
    rows = Alert.objects.filter(horse__ref=cast.ref(horse)).exclude(state="resolved")
    return dict(rows.values_list("rule", "severity"))


def ended(horse: str, rule: str) -> str:
    rows = Alert.objects.filter(horse__ref=cast.ref(horse), rule=rule, state="resolved")
    return rows.latest("id").resolution


def test_fat_in_winter_is_watched_and_nobody_is_called(inside: Inside) -> None:
    with inside("maud") as viewer:
        answer = scored(viewer, "Teasel", NOW, "4", "4.5", "4")
        assert [(each.rule, each.severity) for each in answer.alerts] == [("fat", "watch")]
        assert not Notice.objects.exists()
        scored(viewer, "Teasel", NOW + WEEK, "3", "3.5", "3")  # 3.17 is a 3
        assert held("Teasel") == {}
        assert ended("Teasel", "fat") == "reading"


def test_a_graver_alert_takes_the_place_of_a_lesser_one(inside: Inside) -> None:
    with inside("maud") as viewer:
        scored(viewer, "Teasel", NOW, "1.5", "1.5", "1.5")
        assert held("Teasel") == {"thin": "watch"}
        answer = scored(viewer, "Teasel", NOW + WEEK, "1", "1", "1")
        assert [each.rule for each in answer.alerts] == ["emaciated"]
        assert held("Teasel") == {"emaciated": "urgent"}
        assert ended("Teasel", "thin") == "graver"
        # Thinner than thin no more, and still the vet's to end; what is left is thin.
        scored(viewer, "Teasel", NOW + 2 * WEEK, "1.5", "1.5", "1.5")
        assert held("Teasel") == {"emaciated": "urgent", "thin": "watch"}


def test_below_its_band_once_is_no_alert_and_twice_is_one(inside: Inside) -> None:
    """An athlete's band ends at 2 below (bands.json), so 1.67 to the nearest half lies below."""
    with inside("tobias") as viewer:
        scored(viewer, "Tansy", NOW, "2.5", "2.5", "2.5")  # a broodmare's band begins at 3
        assert held("Tansy") == {}
        scored(viewer, "Tansy", NOW + WEEK, "2.5", "2.5", "2.5")
        assert held("Tansy") == {"below_band_twice": "watch"}


def test_two_assessors_a_point_apart_are_told_to_score_together(inside: Inside) -> None:
    with inside("maud") as viewer:
        scored(viewer, "Teasel", NOW, "2.5", "2.5", "2.5")
    with inside("tobias") as viewer:
        scored(viewer, "Teasel", NOW + DAY, "3.5", "3.5", "3.5")
        assert held("Teasel") == {"above_band": "watch", "assessors_apart": "watch"}
        scored(viewer, "Teasel", NOW + 2 * DAY, "3", "3", "3")
        assert held("Teasel") == {}


def test_a_donkey_off_its_feed_is_urgent_until_it_eats(inside: Inside) -> None:
    with mailbox.opened() as box:
        with inside("maud") as viewer:
            answer = donkey(viewer, NOW, "3", appetite="some")
            assert [(each.rule, each.severity) for each in answer.alerts] == [
                ("off_feed", "urgent")
            ]
        deliver.deliver_due(now=NOW)
        assert box.subjects() == ["Now: Wagtail, Sallow Field: off its feed"] * 2
    for days in (1, 5):
        swept("Sallow Field", NOW + days * DAY)
    with inside("maud") as viewer:
        assert held("Wagtail")["off_feed"] == "urgent"
        donkey(viewer, NOW + 6 * DAY, "3")
        assert held("Wagtail")["off_feed"] == "urgent"
        donkey(viewer, NOW + 7 * DAY, "3", appetite="all")
        assert "off_feed" not in held("Wagtail")


def test_a_moved_donkey_is_watched_for_a_month(inside: Inside) -> None:
    with inside("isolde") as viewer:
        donkey(viewer, NOW, "3")
        assert "hyperlipaemia_watch" not in held("Wagtail")
        to = {"yard": str(cast.ref("Top Barn")), "at": (NOW + DAY).isoformat()}
        horses.move_horse(viewer, cast.ref("Wagtail"), to, now=NOW + DAY)
        assert held("Wagtail") == {"hyperlipaemia_watch": "watch"}
        assert not Notice.objects.exists()
    swept("Top Barn", NOW + 32 * DAY)
    with inside("isolde"):
        assert "hyperlipaemia_watch" in held("Wagtail")
    swept("Top Barn", NOW + 33 * DAY)
    with inside("isolde"):
        assert "hyperlipaemia_watch" not in held("Wagtail")
        assert ended("Wagtail", "hyperlipaemia_watch") == "time"


def test_what_was_never_scored_is_told_once_and_a_reading_ends_it(inside: Inside) -> None:
    swept("Top Barn", NOW)
    with inside("maud") as viewer:
        assert held("Teasel") == {"never_scored": "watch"}
        assert not Notice.objects.exclude(kind="reminder").exists()
        answer = scored(viewer, "Teasel", NOW + DAY, "2.5", "2.5", "2.5")
        assert answer.alerts == ()
        # Not weighed yet, which is the next morning's to tell.
        assert held("Teasel") == {}
        assert ended("Teasel", "never_scored") == "reading"
    swept("Top Barn", NOW + 2 * DAY)
    with inside("maud"):
        assert held("Teasel") == {"overdue": "watch"}


def test_after_a_score_lateness_is_told_of_the_weight_alone(inside: Inside) -> None:
    with inside("maud") as viewer:
        scored(viewer, "Teasel", NOW, "2.5", "2.5", "2.5")
    swept("Top Barn", NOW + 40 * DAY)
    with inside("maud") as viewer:
        late = Alert.objects.get(rule="overdue", horse__ref=cast.ref("Teasel"))
        assert late.said["reason"][1]["what"] == "score,weight"
        version, notices = late.version, Notice.objects.count()
        beside = after_round.after_round(viewer, cast.ref("Top Barn"), now=NOW + 40 * DAY)
        assert [each.alerts for each in beside if each.id == cast.ref("Teasel")] == [()]
        answer = scored(viewer, "Teasel", NOW + 40 * DAY, "2.5", "2.5", "2.5")
        assert answer.alerts == ()
        late.refresh_from_db()
        assert (late.said["reason"][1]["what"], late.state) == ("weight", "open")
        # It is no news: nothing is told anew.
        assert (late.version, Notice.objects.count()) == (version, notices)


def test_weights_that_fall_fast_are_told_by_their_trend(inside: Inside) -> None:
    with inside("isolde") as viewer:
        for week in range(7):
            weighed(viewer, "Marram", NOW + week * WEEK, 500 * 0.978**week)
        assert held("Marram") == {"losing_weight": "act"}
        alert = Alert.objects.get(rule="losing_weight")
        assert alert.said["evidence"][0][0] == "trend_of_weight"
        # An eighth week brings more than 15% in 60 days, which says it all.
        weighed(viewer, "Marram", NOW + 7 * WEEK, 420)
        assert held("Marram") == {"losing_fast": "act"}
        assert ended("Marram", "losing_weight") == "graver"


def test_two_tapes_in_turn_are_no_trend_and_the_raw_rule_speaks_all_the_same(
    inside: Inside,
) -> None:
    with inside("isolde") as viewer:
        tapes = tape(viewer, "One"), tape(viewer, "Two")
        for week in range(8):
            weighed(viewer, "Marram", NOW + week * WEEK, 500 * 0.975**week, tapes[week % 2])
        assert held("Marram") == {"losing_fast": "act"}
        assert not Alert.objects.filter(rule="losing_weight").exists()


def test_what_foaling_took_is_no_loss(inside: Inside) -> None:
    with inside("isolde") as viewer:
        for week, kg in enumerate((500, 501, 502, 503, 504, 445, 444, 445)):
            at = NOW + week * WEEK
            if week == 5:
                raw = {"kind": "foaled", "at": (at - DAY).isoformat()}
                events.record_event(viewer, cast.ref("Tansy"), raw, now=at)
            weighed(viewer, "Tansy", at, kg)
            assert held("Tansy") == {}


def test_the_morning_sees_what_a_reading_saw(inside: Inside) -> None:
    """The same facts in two ways of asking, for every horse of the cast."""
    with inside("isolde") as viewer:
        for day in (0, 2, 9):
            at = NOW + day * DAY
            scored(viewer, "Teasel", at, "3", "3.5", "3", crest="2.5", appetite="all")
            scored(viewer, "Sorrel Lad", at, "2", None, "2", not_safe=["back_and_ribs"])
            donkey(viewer, at, "3", manner="visual" if day else "palpated")
            weighed(viewer, "Teasel", at, 300 - day)
        # The last one long ago, and what counts back from it.
        for days, kg in ((400, 420), (220, 410), (100, 400)):
            weighed(viewer, "Sorrel Lad", NOW - days * DAY, kg)
        now = NOW + 10 * DAY
        for place in ("Top Barn", "Sallow Field"):
            yard = alarms.yard(place)
            standings = subjects.locked_in(yard, "present")
            together = yard_evidence.facts_of_horses(viewer, standings, now=now)
            assert len(together) == 2
            for each in standings:
                newest = evidence.newest_of(each.horse_id, now)
                alone = evidence.facts_of_horse(viewer, yard, each, newest, now=now)
                lad = each.horse.name == "Sorrel Lad"
                assert not lad or [float(kept.kg) for kept in alone.weights] == [410, 400]
                assert alone == replace(together[each.horse_id], resolved={})
        assert Standing.objects.get(horse__ref=cast.ref("Teasel")).level is not None
