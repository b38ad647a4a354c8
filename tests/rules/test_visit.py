"""A visit: since when things are told, and how far a level went; no difference where none is."""

from datetime import UTC, date, datetime, timedelta

import pytest

from scoring.rules import baseline, outlook, smoothing, trend, visit
from scoring.rules import standing as rule
from yards.rules import daytime

NOW = datetime(2026, 11, 26, 10, 0, tzinfo=UTC)
LONDON, AUCKLAND = "Europe/London", "Pacific/Auckland"


def test_a_day_begins_with_the_yards_own_midnight() -> None:
    told = visit.since(date(2026, 7, 1), None, NOW, LONDON)
    assert (told.at, told.why) == (datetime(2026, 6, 30, 23, 0, tzinfo=UTC), visit.ASKED)


def test_the_last_visit_is_told_from_the_beginning_of_its_day_there() -> None:
    last = datetime(2026, 11, 11, 20, 0, tzinfo=UTC)
    assert visit.since(None, last, NOW, LONDON).on == date(2026, 11, 11)
    far = visit.since(None, last, NOW, AUCKLAND)
    assert (far.on, far.why) == (date(2026, 11, 12), visit.LAST_VISIT)
    assert far.at == datetime(2026, 11, 11, 11, 0, tzinfo=UTC)


def test_without_a_visit_it_is_four_weeks_and_that_is_said() -> None:
    told = visit.since(None, None, NOW, LONDON)
    assert (told.on, told.why) == (date(2026, 10, 29), visit.NO_VISIT)


def test_a_day_that_is_asked_for_stands_before_the_last_visit() -> None:
    told = visit.since(date(2026, 3, 1), NOW - timedelta(days=1), NOW, LONDON)
    assert told.on == date(2026, 3, 1)


def test_what_ends_on_the_day_two_weeks_from_today_ends_soon() -> None:
    """An order is given until the end of its last day, which two weeks in seconds cut off."""
    early, late = datetime(2026, 7, 1, 5, 0, tzinfo=UTC), datetime(2026, 7, 1, 22, 59, tzinfo=UTC)
    last = daytime.end_of(date(2026, 7, 15), LONDON)
    assert visit.soon(early, LONDON) == visit.soon(late, LONDON) == last
    assert visit.soon(late, AUCKLAND) == daytime.end_of(date(2026, 7, 16), AUCKLAND)


@pytest.mark.parametrize(
    ("text", "on", "key"),
    [
        ("", None, ""),
        ("2026-03-01", date(2026, 3, 1), ""),
        ("2026-11-26", date(2026, 11, 26), ""),
        ("2026-11-27", None, "in_the_future"),
        ("2024-11-25", None, "too_long_before"),
        ("01/03/2026", None, "not_a_date"),
        ("2026-02-30", None, "not_a_date"),
        ("٢٠٢٦-٠٣-٠١", None, "not_a_date"),
    ],
)
def test_a_day_is_read_or_refused_by_name(text: str, on: date | None, key: str) -> None:
    found, fault = visit.asked_day(text, date(2026, 11, 26))
    assert found == on
    assert (fault.key if fault else "") == key


START = NOW - timedelta(days=14)


def scores(*sixths: int, every: int = 14, until: int = 0) -> list[trend.Reading]:
    """Felt overalls, oldest first, the last so many days before now."""
    last = len(sixths) - 1
    return [
        rule.score_reading(NOW - timedelta(days=until + every * (last - place)), each, "five")
        for place, each in enumerate(sixths)
    ]


def lines(
    readings: list[trend.Reading], *resets: baseline.Reset, at: datetime = START
) -> list[smoothing.Line]:
    return smoothing.smooth(readings, model=rule.SCORE, resets=resets, at=[at])


def test_a_level_that_may_have_stood_still_is_level() -> None:
    found = visit.of_score(lines(scores(15, 16, 15, 15, 16, 15)), START)
    assert found.is_level
    assert found.gone is not None
    assert found.gone.low < 0 < found.gone.high


def test_a_fall_is_told_with_its_interval_and_both_ends() -> None:
    start = NOW - timedelta(days=56)
    found = visit.of_score(lines(scores(27, 26, 24, 22, 20, 17), at=start), start)
    assert found.gone is not None
    assert found.before is not None
    assert found.after is not None
    assert found.gone.high < 0
    assert not found.is_level
    assert found.first == start, "the line is told at the beginning of the day itself"
    assert found.after.value - found.before.value == pytest.approx(found.gone.value, abs=1e-9)


def test_it_is_told_from_the_first_reading_where_that_is_later() -> None:
    readings = scores(20, 19, 18, 17, every=7)
    found = visit.of_score(lines(readings, at=NOW - timedelta(days=90)), NOW - timedelta(days=90))
    assert found.first == readings[0].at


def test_nothing_is_told_where_nothing_was_read_since() -> None:
    assert visit.of_score([], START).reason == visit.NOTHING_SINCE
    old = lines(scores(15, 16, 15, until=20))
    assert visit.of_score(old, START).reason == visit.NOTHING_SINCE


def test_too_few_readings_make_no_change() -> None:
    found = visit.of_score(lines(scores(15, 18)), START)
    assert (found.reason, found.gone) == (outlook.NOT_ENOUGH, None)


def test_two_sides_of_a_foaling_are_not_compared() -> None:
    foaled = baseline.of_foalings([NOW - timedelta(days=40)])
    start = NOW - timedelta(days=60)
    found = visit.of_score(lines(scores(20, 20, 21, 15, 15, 14), *foaled, at=start), start)
    assert (found.reason, found.gone) == ("baseline_foaled", None)
    assert found.begun == NOW - timedelta(days=28)


def test_a_weight_is_told_in_kilograms() -> None:
    readings = [
        rule.weight_reading(NOW - timedelta(days=10 * (9 - place)), 500 - 6 * place, "weighbridge")
        for place in range(10)
    ]
    start = NOW - timedelta(days=60)
    found = visit.of_weight(smoothing.smooth(readings, model=rule.WEIGHT, at=[start]), start)
    assert found.before is not None
    assert found.after is not None
    assert found.gone is not None
    assert found.before.value == pytest.approx(482, abs=3)
    assert found.after.value == pytest.approx(446, abs=3)
    assert found.gone.value == pytest.approx(found.after.value - found.before.value, abs=1e-6)
    assert found.gone.high < 0
