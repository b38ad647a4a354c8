"""What the herd's figures come to: counts, and a difference only where there is one."""

from datetime import date

import pytest

from scoring.pages import herd_told
from scoring.queries.herd_ends import Tally
from scoring.queries.herd_met import Met, Punctuality
from scoring.rules import herd_due, herd_months, herd_season

ON = {date(2026, 2, 28): 1}


def tally(year: str, five: dict[int, int], nine: dict[int, int] | None = None) -> Tally:
    steps = {"five": five, **({"nine": nine} if nine else {})}
    return Tally(herd_season.WINTER, year, ON, None, steps, 2)


def this(five: dict[int, int], nine: dict[int, int] | None = None) -> Tally:
    return tally(herd_season.THIS, five, nine)


def last(five: dict[int, int]) -> Tally:
    return tally(herd_season.LAST, five)


def test_places_are_counted_over_all_scales() -> None:
    assert herd_told.places(this({-1: 2, 0: 10, 1: 3, 2: 1}, {-3: 1, 0: 4})) == (3, 14, 4)


def test_fewer_is_said_only_where_the_range_holds_no_standing_still() -> None:
    sure = " ".join(herd_told.end(this({0: 38, 1: 2}), last({0: 20, 1: 20})))
    assert "The latest: of 40 horses felt near the day, 0 stood below their own band" in sure
    assert "38 within and 2 above" in sure
    assert "Fewer stood above their own band than the year before (change of the share −45" in sure
    assert "About as many stood below as the year before" in sure
    level = " ".join(herd_told.end(this({0: 12, 1: 3}), last({0: 10, 1: 5})))
    assert "About as many stood above as the year before, the rest may be chance" in level
    assert "Fewer stood" not in level
    more = " ".join(herd_told.end(this({0: 20, -1: 20}), last({0: 40})))
    assert "More stood below their own band than the year before" in more


@pytest.mark.parametrize(
    ("now", "then", "said"),
    [
        (this({}), last({0: 12}), "nothing can be said of the latest"),
        (this({0: 12}), last({}), "no year before to hold it against"),
        (this({0: 12}), last({0: 9}), "too few to compare them"),
    ],
)
def test_what_cannot_be_compared_is_said(now: Tally, then: Tally, said: str) -> None:
    assert said in herd_told.end(now, then)[0]


@pytest.mark.parametrize(
    ("now", "then", "verdict"),
    [
        ({0: 38, 1: 2}, {0: 20, 1: 20}, "Better than the year before."),
        ({0: 20, -1: 20}, {0: 40}, "Worse than the year before."),
        ({0: 20, -1: 20}, {0: 20, 1: 20}, "Better on one side of the bands, worse on the other."),
        ({0: 12, 1: 3}, {0: 10, 1: 5}, "Neither better nor worse than the year before"),
    ],
)
def test_the_verdict_stands_first(now: dict[int, int], then: dict[int, int], verdict: str) -> None:
    assert herd_told.end(this(now), last(then))[0].startswith(verdict)


def counted(by_due: int, late: int, still: int = 0) -> Met:
    found = dict.fromkeys(herd_due.MET, 0)
    return Met(found | {herd_due.BY_DUE: by_due, herd_due.LATER: late, herd_due.OPEN: still})


def punctuality(*months: Met) -> Punctuality:
    named = herd_months.until(date(2026, 11, 26), len(months))
    whole = {name: sum(each.counts[name] for each in months) for name in herd_due.MET}
    return Punctuality(tuple(zip(named, months, strict=True)), (), Met(whole))


def test_punctuality_is_told_in_total_and_half_against_half() -> None:
    told = herd_told.met(punctuality(counted(10, 30), counted(36, 4, still=3)))
    assert told[0].startswith("Of 80 looks that fell due, 46 were made by their day (")
    assert told[0].endswith("0 within a week, 34 later and 0 not at all. 3 more are still open.")
    assert told[1].startswith("More by their day in the newer half of these months")
    level = herd_told.met(punctuality(counted(20, 20), counted(21, 19)))
    assert level[1].startswith("About as prompt in both halves")
    assert "too few to compare" in herd_told.met(punctuality(counted(2, 2), counted(21, 19)))[1]
    assert herd_told.met(punctuality(counted(0, 0), counted(0, 0))) == []
