"""What a reading may not be: every fault named by its field, all at once."""

from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import UUID

import pytest

from scoring.rules import clocks, reading
from yards.rules import errors
from yards.rules.json import Number

NOW = datetime(2026, 4, 12, 9, 0, tzinfo=UTC)
HORSE = UUID("0190a000-0000-7000-8000-000000000001")
MARE = clocks.Subject("horse", date(2014, 1, 1), zone="Europe/London")


def raw(**changes: Any) -> dict[str, Any]:
    return {
        "horse": str(HORSE),
        "taken_at": "2026-04-12T09:40:00+01:00",
        "scale": "five",
        "manner": "palpated",
        "regions": {"neck_and_shoulder": "3.5", "back_and_ribs": "5.0", "hindquarters": "4.0"},
        **changes,
    }


def faults(sent: object, subject: clocks.Subject = MARE) -> set[tuple[str, str]]:
    with pytest.raises(errors.Invalid) as refused:
        reading.check(sent, now=NOW, subjects={HORSE: subject}, instruments={})
    return {(each.field, each.key) for each in refused.value.errors}


def checked(sent: object, subject: clocks.Subject = MARE) -> reading.Reading:
    return reading.check(sent, now=NOW, subjects={HORSE: subject}, instruments={})


def region(value: Any) -> dict[str, Any]:
    regions = {"neck_and_shoulder": "3", "back_and_ribs": value, "hindquarters": "3"}
    return raw(regions=regions)


def test_numbers_come_as_text_or_as_json_numbers() -> None:
    assert checked(region("4.50")) == checked(region(Number("4.5")))


@pytest.mark.parametrize(
    "value",
    [
        Number("3.25"),
        "3.1",
        "5.5",
        Number("-1"),
        "NaN",
        "Infinity",
        Number("1e400"),
        "3_0",
        "٣",
        "３",
        " ",
        "three",
        "3\u0000",
        Number("9" * 400),
        "+3",
        True,
        [3],
        {"score": 3},
        3.5,
    ],
    ids=repr,
)
def test_a_score_off_the_grid_is_refused_at_its_region(value: Any) -> None:
    assert {field for field, _ in faults(region(value))} == {"regions.back_and_ribs"}


def test_a_region_is_scored_or_not_safe_and_never_both() -> None:
    missing = region(None)
    assert faults(missing) == {("regions.back_and_ribs", "score_or_not_safe")}
    assert checked({**missing, "not_safe": ["back_and_ribs"]}).back is None
    both = {**region("3"), "not_safe": ["back_and_ribs"]}
    assert faults(both) == {("regions.back_and_ribs", "scored_and_not_safe")}


def test_all_faults_are_told_at_once() -> None:
    sent = raw(scale="ten", manner="guessed", taken_at="yesterday", colour="bay")
    assert {field for field, _ in faults(sent)} >= {"scale", "manner", "taken_at", "colour"}


@pytest.mark.parametrize(
    ("taken_at", "key"),
    [
        ("2026-04-12T09:05:01Z", "in_the_future"),
        ("2013-12-31T23:00:00Z", "before_birth"),
        ("2026-04-12T09:00:00", "not_an_instant"),
    ],
)
def test_a_time_that_cannot_be_is_refused(taken_at: str, key: str) -> None:
    assert faults(raw(taken_at=taken_at)) == {("taken_at", key)}


def test_five_minutes_ahead_is_a_clock_and_not_a_lie() -> None:
    assert checked(raw(taken_at="2026-04-12T09:05:00Z")).skew_seconds is None


def test_a_wrong_clock_is_put_right_by_when_it_sent() -> None:
    sent = raw(taken_at="2026-04-13T09:40:00Z", sent_at="2026-04-13T10:00:00Z")
    found = checked(sent)
    assert found.corrected_at == NOW - timedelta(minutes=20)
    assert found.taken_at == datetime(2026, 4, 13, 9, 40, tzinfo=UTC)


def test_after_an_end_is_refused() -> None:
    for gone, key in (("dead", "after_death"), ("rehomed", "after_departure")):
        subject = clocks.Subject("horse", None, gone, NOW - timedelta(days=9))
        assert faults(raw(), subject) == {("taken_at", key)}


def test_the_scale_is_the_species_own() -> None:
    donkey = clocks.Subject("donkey")
    assert ("scale", "wrong_scale") in faults(raw(), donkey)
    sent = raw(scale="donkey", overall="3.5")
    del sent["regions"]
    assert checked(sent, donkey).whole == 7
    assert ("scale", "wrong_scale") in faults(sent)


def test_an_unknown_horse_is_refused_at_its_field() -> None:
    other = raw(horse="0190a000-0000-7000-8000-000000000002")
    assert faults(other) == {("horse", "unknown_reference")}


def test_the_same_content_however_it_was_written() -> None:
    """The contract: decimals by value, times by instant, omitted = default, without sent_at."""
    one = checked(raw(sent_at="2026-04-12T09:00:00Z"))
    two = checked(raw(taken_at="2026-04-12T08:40:00Z", fat_pocket="none", note="", not_safe=[]))
    assert one.content() == two.content()
    assert checked(raw(note="Other.")).content() != two.content()
