"""The vet's day list: what is in reach, why each horse is on it, and what is new since when."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.actions import (
    alerts,
    assessments,
    clinical_notes,
    concerns,
    questions,
    vet_orders,
    weighings,
)
from scoring.models import Alert
from scoring.queries import board, trend, visit
from scoring.rules import board_wanted
from scoring.rules import visit as rule
from tests import cast, factories, readings
from tests.conftest import viewer_of
from tests.queries import board_herds
from yards import isolation
from yards.actions import events, horses
from yards.models import Grant
from yards.rules import daytime, errors
from yards.rules.roles import Viewer

NOW = datetime(2026, 7, 14, 10, 0, tzinfo=UTC)
TEASEL, TOP_BARN, SALLOW = cast.ref("Teasel"), cast.ref("Top Barn"), cast.ref("Sallow Field")
DAY = timedelta(days=1)
SAID = {"reason": ["danger_signs_seen", {"signs": "not_eating"}]}


def score(viewer: Viewer, at: datetime, *scores: str, horse: str = "Teasel", **facts: Any) -> Any:
    raw = readings.raw(horse, at, *(scores or ("2.5", "2.5", "2.5")), **facts)
    return assessments.record_assessment(viewer, raw, now=at)


def weigh(viewer: Viewer, at: datetime, kg: str) -> Any:
    raw = {"horse": str(TEASEL), "taken_at": at.isoformat(), "method": "weighbridge"}
    return weighings.record_weighing(viewer, {**raw, "weight_kg": kg}, now=at)


def seen(viewer: Viewer, name: str = "Teasel", **asked: Any) -> visit.Seen:
    found = visit.get_visit(viewer, now=NOW, **asked)
    return next(each for each in found.seen if each.row.name == name)


@contextmanager
def only(yards: tuple[str, ...]) -> Iterator[Viewer]:
    """Open the organisation as the vet, with a grant for some yards only."""
    with isolation.of(viewer_of("isolde")):
        grant = Grant.objects.get(ref=cast.ref("grant of keziah"))
        Grant.objects.filter(id=grant.id).update(all_yards=False)
        for each in yards:
            factories.grant_yard(grant, cast.ref(each))
    viewer = viewer_of("keziah")
    with isolation.of(viewer):
        yield viewer


def test_a_vet_sees_the_yards_of_the_grant_and_no_other(inside: Any) -> None:
    with inside("maud") as viewer:
        questions.ask(viewer, cast.ref("Tansy"), {"text": "Clip her?"}, now=NOW)
    with inside("isolde") as viewer:
        questions.ask(viewer, cast.ref("Marram"), {"text": "Shoe him?"}, now=NOW)
    with only(("Top Barn", "Sallow Field")) as viewer:
        found = visit.get_visit(viewer, now=NOW)
        assert {each.row.name for each in found.seen} == {
            *("Teasel", "Sorrel Lad", "Tansy", "Wagtail"),
        }
        assert [each.name for each in found.yards] == ["", "Sallow Field", "Top Barn"]
        assert [each.horse_name for each in found.questions] == ["Tansy"]
        with pytest.raises(errors.NotFound):
            visit.get_visit(viewer, now=NOW, yard=cast.ref("Nether Paddocks"))


def test_one_yard_holds_its_own_horses_and_questions(inside: Any) -> None:
    with inside("isolde") as viewer:
        questions.ask(viewer, cast.ref("Tansy"), {"text": "Clip her?"}, now=NOW)
        questions.ask(viewer, TEASEL, {"text": "Shoe him?"}, now=NOW)
        found = visit.get_visit(viewer, now=NOW, yard=SALLOW)
    assert {each.row.name for each in found.seen} == {"Tansy", "Wagtail"}
    assert [each.horse_name for each in found.questions] == ["Tansy"]
    assert found.chosen == "Sallow Field"


@pytest.mark.parametrize("key", ["maud", "tobias", "hollis", "device"])
def test_nobody_but_vets_and_coordinators_has_it(inside: Any, key: str) -> None:
    with inside(key) as viewer, pytest.raises(errors.NotAllowed):
        visit.get_visit(viewer, now=NOW)


def last_day(viewer: Viewer, yard: str = "Top Barn") -> tuple[date, str]:
    told = dict(visit.get_visit(viewer, now=NOW).since)[yard]
    return told.on, told.why


def test_the_last_visit_is_the_last_day_on_which_this_vet_recorded_something_there(
    inside: Any,
) -> None:
    with inside("keziah") as viewer:
        assert last_day(viewer) == (date(2026, 6, 16), rule.NO_VISIT)
        score(viewer, NOW - 20 * DAY)
        assert last_day(viewer) == (date(2026, 6, 24), rule.LAST_VISIT)
        clinical_notes.write(viewer, TEASEL, {"text": "Sound"}, now=NOW - 9 * DAY)
        assert last_day(viewer) == (date(2026, 7, 5), rule.LAST_VISIT)
        assert last_day(viewer, "Sallow Field") == (date(2026, 6, 16), rule.NO_VISIT)
        score(viewer, NOW)
        assert last_day(viewer) == (date(2026, 7, 5), rule.LAST_VISIT), "today is this visit"
    with inside("maud") as viewer:
        score(viewer, NOW - 3 * DAY)
    with inside("keziah") as viewer:
        assert last_day(viewer) == (date(2026, 7, 5), rule.LAST_VISIT), "Maud is no vet"
    with inside("isolde") as viewer:
        assert last_day(viewer) == (date(2026, 7, 5), rule.LAST_VISIT), "any vet's, for her"


def order(viewer: Viewer, at: datetime, days: int, **facts: Any) -> Any:
    raw = {"score_days": 9, "reason": "Feeding up", "until": (at + days * DAY).isoformat()}
    return vet_orders.give_vet_order(viewer, TEASEL, {**raw, **facts}, now=at)


@pytest.mark.parametrize(
    "leaves", ["order", "end", "answer", "weighing", "acknowledged", "resolved"]
)
def test_whatever_a_vet_leaves_behind_is_a_visit(inside: Any, leaves: str) -> None:
    then = NOW - 5 * DAY
    with inside("maud") as viewer:
        asked = questions.ask(viewer, TEASEL, {"text": "Clip her?"}, now=then - DAY)
        made = score(viewer, then - DAY, danger_signs=["not_eating"])
    alert = next(each for each in made.alerts if each.rule == "danger_signs")
    with inside("keziah") as viewer:
        given = order(viewer, then - 30 * DAY, 60)
        left: dict[str, Callable[[], object]] = {
            "order": lambda: order(viewer, then, 30),
            "end": lambda: vet_orders.end_vet_order(viewer, given.id, {"reason": "Fit"}, now=then),
            "answer": lambda: questions.answer(viewer, asked.id, {"text": "Yes"}, now=then),
            "weighing": lambda: weigh(viewer, then, "440"),
            "acknowledged": lambda: alerts.acknowledge(
                viewer, alert.id, {"next_step": "On my way"}, now=then
            ),
            "resolved": lambda: alerts.resolve(viewer, alert.id, {"reason": "Sound"}, now=then),
        }
        left[leaves]()
        assert last_day(viewer) == (date(2026, 7, 9), rule.LAST_VISIT)


def test_an_order_of_two_weeks_is_at_once_among_those_that_end_soon(inside: Any) -> None:
    with inside("keziah") as viewer:
        for on in (date(2026, 7, 28), date(2026, 7, 29)):
            last = daytime.end_of(on, "Europe/London")
            order(viewer, NOW, 0, until=last.isoformat())
        found = visit.get_visit(viewer, now=NOW)
    assert [f"{each.until:%d}" for each in found.ending] == ["28"]


def test_a_day_asked_for_holds_for_every_yard(inside: Any) -> None:
    with inside("keziah") as viewer:
        score(viewer, NOW - 9 * DAY)
        found = visit.get_visit(viewer, now=NOW, asked=date(2026, 3, 1))
    assert {(each.on, each.why) for _, each in found.since} == {(date(2026, 3, 1), rule.ASKED)}


def test_every_kind_of_news_is_told_and_what_was_before_is_not(inside: Any) -> None:
    since, old, new = date(2026, 7, 1), NOW - 40 * DAY, NOW - 4 * DAY
    with inside("maud") as viewer:
        score(viewer, old)
        first = score(viewer, new)
        score(viewer, new + DAY, manner="visual")
        weigh(viewer, new, "440")
        for at in (old, new):
            seen_then = {"seen_at": at.isoformat(), "note": f"Dull on {at:%d}"}
            concerns.record_concern(viewer, TEASEL, seen_then, now=at)
            happened = {"kind": "clipped", "at": at.isoformat()}
            events.record_event(viewer, TEASEL, happened, now=at)
    with inside("isolde") as viewer:
        better = readings.raw("Teasel", new, "3", "3", "3", reason="Misread the sheet")
        assessments.correct_assessment(viewer, first.id, better, now=new)
        horses.move_horse(viewer, TEASEL, {"yard": str(SALLOW), "at": new.isoformat()}, now=new)
    with inside("keziah") as viewer:
        clinical_notes.write(viewer, TEASEL, {"text": "Sound"}, now=new)
        for days, at in ((10, old), (30, old), (50, old), (90, old)):
            order(viewer, at, days, reason=f"For {days} days")
        found = seen(viewer, asked=since)
    news = found.news
    assert (news.scores, news.weights, news.notes) == (2, 1, 1)
    assert [(each.what, each.by, each.reason) for each in news.corrections] == [
        ("score", "Isolde Kerr", "Misread the sheet")
    ]
    assert [each.note for each in news.concerns] == ["Dull on 10"]
    assert [each.kind for each in news.events] == ["clipped"]
    assert [(each.before, each.after) for each in news.moves] == [("Top Barn", "Sallow Field")]
    # One ended before that day, one since, one ends within two weeks, one later.
    assert [each.reason for each in news.orders] == ["For 30 days", "For 50 days"]
    assert found.yard == SALLOW


def test_an_order_that_ended_since_is_news_and_one_that_ends_soon_stands_at_the_top(
    inside: Any,
) -> None:
    with inside("keziah") as viewer:
        order(viewer, NOW - 30 * DAY, 25, reason="Ended")
        order(viewer, NOW - 30 * DAY, 40, reason="Ends soon")
        order(viewer, NOW - 30 * DAY, 60, reason="Lasts")
        early = order(viewer, NOW - 30 * DAY, 38, reason="Ended early")
        vet_orders.end_vet_order(viewer, early.id, {"reason": "Fit"}, now=NOW - DAY)
        found = visit.get_visit(viewer, now=NOW, asked=date(2026, 7, 1))
        [teasel] = [each for each in found.seen if each.row.name == "Teasel"]
    assert [each.reason for each in found.ending] == ["Ends soon"]
    assert {each.reason for each in teasel.news.orders} == {"Ended", "Ends soon", "Ended early"}


def test_alerts_that_were_opened_and_resolved_are_told_apart(inside: Any) -> None:
    with inside("maud") as viewer:
        made = score(viewer, NOW - 20 * DAY, danger_signs=["not_eating"])
    [alert] = [each for each in made.alerts if each.rule == "danger_signs"]
    with inside("keziah") as viewer:
        alerts.resolve(viewer, alert.id, {"reason": "Sound"}, now=NOW - 2 * DAY)
        news = seen(viewer, asked=date(2026, 7, 1)).news
        assert "danger_signs" not in [each.rule for each in news.opened]
        assert [each.ref for each in news.resolved] == [alert.id]
        before = seen(viewer, asked=date(2026, 6, 1)).news
    assert alert.id in [each.ref for each in before.opened]


def test_the_change_is_that_of_the_horses_own_line(inside: Any) -> None:
    with inside("maud") as viewer:
        for place in range(9):
            at, half = NOW - (112 - 14 * place) * DAY, f"{4 - place // 2 * 0.5:.1f}"
            score(viewer, at, half, half, half)
            weigh(viewer, at, str(500 - 8 * place))
    since = date(2026, 5, 19)
    with inside("keziah") as viewer:
        found = seen(viewer, asked=since)
        start = found.since.at
        card = trend.get_trend(viewer, TEASEL, measure=trend.SCORE, since=start, now=NOW)
    assert found.score.after is not None
    assert found.score.gone is not None
    assert found.weight.gone is not None
    [told] = [each for each in card.smoothed if each.at == found.score.last]
    assert found.score.after.value == pytest.approx(told.level, abs=1e-9)
    assert found.score.gone.high < 0
    assert found.weight.gone.value == pytest.approx(-32, abs=6)
    assert found.weight.gone.high < 0


def test_a_horse_is_on_the_list_for_what_the_board_says(inside: Any) -> None:
    with inside("maud") as viewer:
        score(viewer, NOW - DAY, danger_signs=["not_eating"])
        questions.ask(viewer, TEASEL, {"text": "Clip her?"}, now=NOW)
        found = board.yard_board(viewer, now=NOW)
    with inside("keziah") as viewer:
        told = visit.get_visit(viewer, now=NOW)
    # Names of yards aside, which Maud's two and the vet's three have alike.
    groups = {each.row.name: each.row.group for each in told.seen}
    assert {row.name: row.group for row in found.rows}.items() <= groups.items()
    teasel = next(each for each in told.seen if each.row.name == "Teasel")
    assert teasel.row.group == "call_the_vet"
    assert "danger_signs" in [each.rule for each in teasel.alerts]
    assert teasel.asked == 1


def test_pages_hold_every_horse_once(inside: Any, no_standings: None) -> None:
    with inside("isolde") as viewer:
        board_herds.herd(viewer, 40, NOW)
        Alert.objects.update(said=SAID)
        names, at = [], None
        while True:
            page = visit.get_visit(viewer, now=NOW, at=at, size=9)
            names += [each.row.horse_id for each in page.seen]
            if not page.has_next:
                break
            last = page.seen[-1].row
            at = board_wanted.Position(last.group, last.horse_id, late=last.late, calm=last.calm)
        here = {row.horse_id for row in board.yard_board(viewer, now=NOW, size=1000).rows}
    assert len(names) == len(set(names))
    assert set(names) == here


@pytest.mark.parametrize("key", ["isolde", "keziah"])
def test_a_thousand_horses_cost_as_many_queries_as_ten(
    inside: Any, no_standings: None, key: str
) -> None:
    counted, made = [], 0
    for many in (10, 1000):
        with inside("isolde") as viewer:
            board_herds.herd(viewer, many - made, NOW, first=made)
            Alert.objects.update(said=SAID)
            made = many
        with inside(key) as viewer, CaptureQueriesContext(connection) as asked:
            visit.get_visit(viewer, now=NOW)
        counted.append(len(asked))
    assert counted[0] == counted[1]
