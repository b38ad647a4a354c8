"""What a board asks of each horse: its group, which way it goes, its yard's day, its search."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import board, board_search, board_wanted, due
from tests.outside import EXACT, outside
from yards.rules import errors

Held = board.Held
ZONES = ("Europe/London", "Pacific/Auckland", "America/Havana", "Africa/Cairo", "Asia/Kolkata")


@pytest.mark.parametrize(
    ("alerts", "is_due", "group"),
    [
        ([], False, "nothing_to_do"),
        ([], True, "assess_today"),
        ([Held("watch", "open", False)], False, "watched"),
        ([Held("watch", "open", False)], True, "assess_today"),
        ([Held("act", "acknowledged", False)], False, "watched"),
        ([Held("act", "open", False)], True, "decide"),
        ([Held("act", "open", False), Held("urgent", "acknowledged", False)], True, "call_the_vet"),
        ([Held("act", "snoozed", True)], False, "call_the_vet"),
        ([Held("act", "acknowledged", False, is_passed=True)], False, "decide"),
        ([Held("watch", "acknowledged", False, is_passed=True)], True, "decide"),
    ],
)
def test_the_gravest_work_is_the_group(alerts: list[Held], is_due: bool, group: str) -> None:
    assert board.group(alerts, is_due=is_due) == group


def test_a_step_is_passed_once_its_time_is_over_and_only_while_it_is_all_that_was_done() -> None:
    now = datetime(2026, 11, 2, 12, tzinfo=UTC)
    moment = timedelta(microseconds=1)
    assert board.is_passed("acknowledged", now - moment, now)
    assert not board.is_passed("acknowledged", now, now)
    assert not board.is_passed("snoozed", now - moment, now)
    assert not board.is_passed("acknowledged", None, now)


def test_only_what_is_to_be_assessed_today_is_late() -> None:
    assert [board.late("assess_today", days) for days in (5, 0, -3)] == [5, 0, 0]
    assert {board.late(group, 9) for group in board.GROUPS if group != "assess_today"} == {0}


def test_what_nobody_has_answered_comes_before_what_is_answered_or_only_late() -> None:
    late = Held("watch", "open", False, is_lateness=True)
    answered = Held("act", "acknowledged", False)
    for group in ("assess_today", "watched"):
        assert board.calm(group, [answered, Held("watch", "open", False)]) == board.WORRIES
        assert board.calm(group, [answered, late]) == board.ANSWERED
        assert board.calm(group, [late]) == board.calm(group, []) == board.ONLY_LATE
    assert board.calm("decide", [late]) == board.calm("nothing_to_do", []) == board.WORRIES


def test_a_position_keeps_how_late_the_horse_was() -> None:
    horse = "0193a5a0-0000-7000-8000-000000000001"
    read = board_wanted.position({"after": f"assess_today-12.{horse}"})
    assert read is not None
    assert (read.group, read.late) == ("assess_today", 12)
    assert read.pairs() == {"after": f"assess_today-12.{horse}"}
    for told in (f"assess_today-3~2.{horse}", f"watched~1.{horse}"):
        kept = board_wanted.position({"before": told})
        assert kept is not None
        assert kept.calm == int(told[told.index("~") + 1])
        assert kept.pairs() == {"before": told}
    # An address of before names no days: nobody of the group is passed over.
    before = board_wanted.position({"after": f"assess_today.{horse}"})
    assert before is not None
    assert before.late > 9999
    for wrong in (
        f"decide-1.{horse}",
        f"assess_today-x.{horse}",
        f"assess_today-123456.{horse}",
        f"watched~3.{horse}",
    ):
        with pytest.raises(errors.NotFound):
            board_wanted.position({"after": wrong})


def test_a_rate_whose_range_holds_zero_is_level() -> None:
    assert board.way(0.2, 0.1, 0.3) == "rising"
    assert board.way(-0.2, -0.3, -0.1) == "falling"
    assert board.way(0.2, -0.1, 0.5) == "level"
    assert board.way(None, None, None) == "none"


@outside(
    "clocks go on at midnight in Cairo and Havana, where that day begins at one",
    source="tz database, Africa/Cairo and America/Havana",
    status=EXACT,
)
@pytest.mark.parametrize(
    ("zone", "day"), [("Africa/Cairo", "2024-04-26"), ("America/Havana", "2024-03-10")]
)
def test_a_day_without_midnight_begins_with_its_first_instant(zone: str, day: str) -> None:
    noon = datetime.fromisoformat(f"{day}T12:00").replace(tzinfo=ZoneInfo(zone))
    first, following = board.bounds(noon, zone)
    assert first.astimezone(ZoneInfo(zone)).hour == 1
    assert following - first == timedelta(hours=23)


@given(
    hours=st.floats(0, 87_600),
    ahead=st.integers(-80 * 3600, 80 * 3600),
    zone=st.sampled_from(ZONES),
)
def test_instants_tell_what_days_tell(hours: float, ahead: int, zone: str) -> None:
    at = datetime(2020, 1, 1, tzinfo=UTC) + timedelta(hours=hours)
    falls = at + timedelta(seconds=ahead)
    today, tomorrow = board.bounds(at, zone)
    state = due.state(falls, at, zone)
    assert (falls < today) == (state == due.OVERDUE)
    assert (falls < tomorrow) == (state != due.NOT_DUE)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("bramble", "Brámble"),
        ("BRÁM", "Bramble"),
        ("lad sor", "Sorrel Lad"),
        ("orsted", "Ørsted"),
        ("aenig", "Ænigma"),
        ("o'mal", "O’Malley"),
        ("strasse", "Straße"),
        ("lodz", "Łódź"),
        ("עדש", "עֲדָשׁ"),
        ("vy", "Vy\u0302"),
    ],
)
def test_a_name_is_found_without_case_or_accents(typed: str, name: str) -> None:
    search = board_search.read(typed)
    assert search is not None
    assert board_search.finds(search, name, "", "")
    assert not board_search.finds(search, "Teasel", "", "")


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("826000000000042", True),
        ("826 000-000.000 042", True),
        ("0042", True),
        ("042", False),  # so few digits are in many numbers
        ("826002 000 042ABC", True),
        ("042abc", True),
        ("900000000000042", False),
    ],
)
def test_a_number_is_found_as_people_read_it_out(typed: str, found: bool) -> None:
    search = board_search.read(typed)
    assert search is not None
    assert board_search.finds(search, "Teasel", "826000000000042", "826002000042ABC") is found


def test_nothing_typed_looks_for_nothing() -> None:
    assert board_search.read("  ") is None


def test_an_address_is_read_and_written_the_same() -> None:
    asked = {
        "yard": "0b0f7a4e-6a3e-4d57-9f0e-3d1f7a4c2b10",
        "group": "decide",
        "use": "leisure",
        "place": "none",
        "trend": "falling",
        "due": "overdue",
        "assessor": "1b0f7a4e-6a3e-4d57-9f0e-3d1f7a4c2b11",
        "search": "Ørsted & co",
    }
    wanted = board_wanted.read(asked)
    assert dict(wanted.pairs()) == asked
    assert wanted.narrowed == ("use", "place", "trend", "due", "assessor", "search")
    assert board_wanted.read({"use": "", "unknown": "x"}) == board_wanted.ALL


def test_a_position_is_read_and_written_the_same() -> None:
    ref = "0b0f7a4e-6a3e-4d57-9f0e-3d1f7a4c2b10"
    begun = datetime(2026, 7, 14, 9, 41, 3, 120, tzinfo=UTC)
    for way, is_before in (("after", False), ("before", True)):
        asked = {way: f"decide.{ref}", "since": "1784022063000120"}
        at = board_wanted.position(asked)
        assert at is not None
        assert (at.group, str(at.horse), at.is_before) == ("decide", ref, is_before)
        assert at.since == begun
        assert at.pairs() == asked
    assert board_wanted.position({}) is None


@pytest.mark.parametrize(
    "asked",
    [
        {"use": "racing"},
        {"group": "0"},
        {"due": "late"},
        {"yard": "Top Barn"},
        {"assessor": "1"},
        {"search": "a\x00b"},
    ],
)
def test_what_is_none_of_ours_is_not_found(asked: dict[str, str]) -> None:
    with pytest.raises(errors.NotFound):
        board_wanted.read(asked)


@pytest.mark.parametrize(
    "asked",
    [
        {"after": "decide"},
        {"after": "x.0b0f7a4e-6a3e-4d57-9f0e-3d1f7a4c2b10"},
        {"before": "decide.0b0f7a4e-6a3e-4d57-9f0e-3d1f7a4c2b10", "since": "-1"},
        {"after": "decide.0b0f7a4e-6a3e-4d57-9f0e-3d1f7a4c2b10", "since": "9" * 17},
        {"after": "decide.0b0f7a4e-6a3e-4d57-9f0e-3d1f7a4c2b10", "since": "²"},
    ],
)
def test_what_is_no_position_is_not_found(asked: dict[str, str]) -> None:
    with pytest.raises(errors.NotFound):
        board_wanted.position(asked)
