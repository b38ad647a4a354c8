"""The ends of winter and autumn: those of the band's aim, by hemisphere and by a yard's spring."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scoring.rules import band, herd_season
from scoring.rules.herd_season import AUTUMN, LAST, THIS, WINTER
from tests.outside import EXACT, outside
from yards.rules import seasons

DAYS = st.dates(date(2001, 1, 1), date(2060, 1, 1))
SPRINGS = st.none() | st.sampled_from(
    [seasons.Spring("02-10", "04-20"), seasons.Spring("12-20", "02-28")]
)


def told(today: date, hemisphere: str = "north", spring: seasons.Spring | None = None) -> list[str]:
    found = herd_season.ends(today, hemisphere, spring)
    return [f"{each.season} {each.year} {each.on}" for each in found]


@outside(
    "winter ends with February, or August; autumn with November, or May",
    source="Met Office, meteorological seasons; the south half a year on",
    status=EXACT,
)
def test_by_the_calendar() -> None:
    assert told(date(2026, 11, 26)) == [
        *(f"{WINTER} {THIS} 2026-02-28", f"{WINTER} {LAST} 2025-02-28"),
        *(f"{AUTUMN} {THIS} 2025-11-30", f"{AUTUMN} {LAST} 2024-11-30"),
    ]
    assert told(date(2028, 12, 1)) == [
        *(f"{WINTER} {THIS} 2028-02-29", f"{WINTER} {LAST} 2027-02-28"),
        *(f"{AUTUMN} {THIS} 2028-11-30", f"{AUTUMN} {LAST} 2027-11-30"),
    ]
    assert told(date(2026, 11, 26), "south") == [
        *(f"{WINTER} {THIS} 2026-08-31", f"{WINTER} {LAST} 2025-08-31"),
        *(f"{AUTUMN} {THIS} 2026-05-31", f"{AUTUMN} {LAST} 2025-05-31"),
    ]


def test_the_tropics_have_none_unless_they_set_a_spring() -> None:
    assert herd_season.ends(date(2026, 11, 26), "none", None) == ()
    assert len(herd_season.ends(date(2026, 11, 26), "none", seasons.Spring("03-01", "05-31"))) == 4


def aim(on: date, hemisphere: str, spring: seasons.Spring | None) -> float:
    facts = band.Facts("horse", "leisure", hemisphere=hemisphere, spring=spring)
    return float(band.band(facts, on).aim)


@settings(max_examples=60)
@given(DAYS, st.sampled_from(("north", "south")), SPRINGS)
def test_they_are_the_days_of_the_lowest_and_the_highest_aim(
    today: date, hemisphere: str, spring: seasons.Spring | None
) -> None:
    found = herd_season.ends(today, hemisphere, spring)
    for each in found:
        around = [
            aim(each.on + timedelta(days=off), hemisphere, spring) for off in range(-90, 90, 3)
        ]
        own = aim(each.on, hemisphere, spring)
        assert own == (min(around) if each.season == WINTER else max(around))


@given(DAYS, st.sampled_from(("north", "south")), SPRINGS)
def test_both_years_ends_are_over_and_a_year_apart(
    today: date, hemisphere: str, spring: seasons.Spring | None
) -> None:
    found = {
        (each.season, each.year): each.on for each in herd_season.ends(today, hemisphere, spring)
    }
    for season in herd_season.ENDS:
        newer, older = found[season, THIS], found[season, LAST]
        assert newer < today
        assert today - newer <= timedelta(days=366)
        assert timedelta(days=364) <= newer - older <= timedelta(days=367)


@pytest.mark.parametrize("zone", ["Europe/London", "Pacific/Auckland"])
def test_a_window_reaches_four_weeks_to_either_side(zone: str) -> None:
    found = herd_season.window(date(2026, 2, 28), zone)
    assert timedelta(days=27) < found.at - found.first < timedelta(days=30)
    assert timedelta(days=27) < found.until - found.at < timedelta(days=29)
    if zone == "Europe/London":
        assert found.at == datetime(2026, 3, 1, tzinfo=UTC)
