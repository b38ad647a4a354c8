"""The aim moves with the season, smoothly and within the edges, and says what moved it."""

import math
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import band
from tests.outside import WITHIN_TOLERANCE, outside
from tests.rules.test_band import GROWN, LEISURE, halves
from yards.rules import seasons


@outside(
    "free-ranging ponies are best in autumn and fall off from December on",
    source="200 to 400 New Forest ponies scored monthly 1982-85, thesis, University of "
    "Southampton, eprints.soton.ac.uk/461936",
    status=WITHIN_TOLERANCE,
)
def test_the_aim_follows_the_ponies_of_the_new_forest() -> None:
    aims = {day: band.band(LEISURE, day).aim for day in year_of(2026)}
    best = max(aims.values())
    assert {day.month for day, aim in aims.items() if aim == best} <= {9, 10, 11, 12}
    winter = [band.band(LEISURE, day).aim for day in year_of(2026, date(2026, 12, 1), 90)]
    assert winter == sorted(winter, reverse=True)
    assert winter[0] > winter[-1]


def year_of(year: int, first: date | None = None, days: int = 365) -> list[date]:
    return [(first or date(year, 1, 1)) + timedelta(days=n) for n in range(days)]


SPRINGS = st.sampled_from(
    [
        None,
        seasons.Spring("03-01", "05-31"),
        seasons.Spring("02-29", "04-30"),
        seasons.Spring("12-15", "02-10"),
        seasons.Spring("01-01", "03-31"),
        seasons.Spring("05-31", "07-31"),
        seasons.Spring("10-31", "01-15"),
    ]
)
# The shortest wave is the fall of three calendar months of winter, which have at least 89 days; a
# cosine's slope is at most pi / 2 of its height over its length. A cent is lost to rounding.
SHORTEST_WAVE, CENT = 89, Decimal("0.01")
CLASSES = [
    (band.Facts("horse", "leisure", born_earliest=GROWN), "five", "0.5"),
    (band.Facts("horse", "leisure", born_earliest=GROWN), "nine", "1.0"),
    (band.Facts("donkey", "companion", born_earliest=GROWN), "donkey", "0.5"),
    (band.Facts("horse", "athlete", born_earliest=GROWN), "five", "0"),
]


@given(
    st.dates(date(1999, 1, 1), date(2101, 1, 1)),
    st.sampled_from(["north", "south", "none"]),
    SPRINGS,
    st.sampled_from(CLASSES),
)
def test_only_the_aim_moves_never_by_more_than_its_steepest_slope_and_stays_inside(
    on: date, hemisphere: str, spring: seasons.Spring | None, of: tuple[band.Facts, str, str]
) -> None:
    kind, scale, swing = of
    facts = band.Facts(
        kind.species, kind.use, born_earliest=GROWN, hemisphere=hemisphere, spring=spring
    )
    one, two = (band.band(facts, day, scale) for day in (on, on + timedelta(days=1)))
    assert (one.low, one.high) == (two.low, two.high)
    assert one.low + band.INSIDE <= one.aim <= one.high - band.INSIDE
    steepest = Decimal(str(float(swing) / 2 * math.pi / SHORTEST_WAVE)) + CENT
    assert abs(one.aim - two.aim) <= steepest


@given(st.dates(date(1999, 1, 1), date(2099, 1, 1)), st.integers(0, 365), SPRINGS, st.booleans())
def test_the_edges_stand_still_all_year(
    on: date, later: int, spring: seasons.Spring | None, south: bool
) -> None:
    facts = band.Facts("mule", "leisure", hemisphere="south" if south else "north", spring=spring)
    one, two = band.band(facts, on), band.band(facts, on + timedelta(days=later))
    assert (one.low, one.high, one.key) == (two.low, two.high, two.key)


@pytest.mark.parametrize("south", [False, True])
def test_the_swing_is_used_whole_and_the_south_is_half_a_year_on(south: bool) -> None:
    facts = band.Facts(
        "horse", "leisure", born_earliest=GROWN, hemisphere="south" if south else "north"
    )
    aims = [band.band(facts, day, "nine").aim for day in year_of(2027)]
    assert (min(aims), max(aims)) == halves("4.5", "5.5")
    leanest = date(2027, 8, 31) if south else date(2027, 2, 28)
    assert band.band(facts, leanest, "nine").aim == Decimal("4.5")


def test_a_yards_own_spring_that_wraps_the_year_moves_the_leanest_day() -> None:
    """And the fullest with it, three months before, in whatever season a label names."""
    facts = band.Facts("horse", "leisure", spring=seasons.Spring("12-15", "02-10"))
    aims = {day: band.band(facts, day).aim for day in year_of(2026)}
    assert aims[date(2026, 12, 14)] == min(aims.values()) == Decimal("2.25")
    assert aims[date(2026, 9, 14)] == max(aims.values()) == Decimal("2.75")


def test_by_the_calendar_it_is_leanest_as_winter_ends_and_fullest_as_autumn_ends() -> None:
    for hemisphere in (seasons.NORTH, seasons.SOUTH):
        facts = band.Facts("horse", "leisure", born_earliest=GROWN, hemisphere=hemisphere)
        days = year_of(2027, date(2027, 1, 1), 366)
        aims = {day: band.band(facts, day, "nine").aim for day in days}
        for season, edge in (("winter", Decimal("4.5")), ("autumn", Decimal("5.5"))):
            last = [
                day
                for day in days
                if seasons.season(day, hemisphere) == season
                and seasons.season(day + timedelta(days=1), hemisphere) != season
            ]
            assert last
            assert {aims[day] for day in last} == {edge}


def test_the_tropics_have_no_season_and_the_aim_stands_still() -> None:
    facts = band.Facts("horse", "leisure", born_earliest=GROWN, hemisphere="none")
    found = [band.band(facts, day) for day in year_of(2026)]
    assert {each.aim for each in found} == {Decimal("2.5")}
    assert {each.why[-1].key for each in found} == {"band_no_seasons"}


def test_in_the_tropics_a_yards_own_spring_moves_the_aim_and_says_so() -> None:
    own = seasons.Spring("03-01", "05-31")
    facts = band.Facts("horse", "leisure", hemisphere="none", spring=own)
    assert band.band(facts, date(2026, 11, 30)).aim == Decimal("2.75")
    assert band.band(facts, date(2026, 11, 30)).why[-1] == (
        "band_aim_fuller_by_own_spring",
        {"points": "0.25", "spring_first": "03-01", "spring_last": "05-31"},
    )
    assert band.band(facts, date(2027, 2, 28)).why[-1].key == "band_aim_leaner_by_own_spring"
    assert band.band(facts, date(2027, 3, 1)).why[-1] == (
        "band_aim_leaner",
        {
            "season": "spring",
            "points": "0.25",
            "spring_first": "03-01",
            "spring_last": "05-31",
        },
    )
    for day in year_of(2026):
        found = band.band(facts, day)
        moved = "".join(each.key for each in found.why if "aim" in each.key)
        wanted = "fuller" if found.aim > Decimal("2.5") else "leaner"
        assert wanted in moved if found.aim != Decimal("2.5") else not moved
        assert "band_no_seasons" not in {each.key for each in found.why}
