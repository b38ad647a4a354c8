"""The herd's statements against every row gone through in Python by the rules."""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.queries import herd_ends, herd_met, herd_months, herd_scope
from scoring.rules import herd_place, herd_season, herd_step, herd_wanted
from scoring.rules.herd_wanted import Wanted
from tests import cast
from tests.conftest import viewer_of
from tests.queries import herd_years
from tests.queries.herd_book import Book
from tests.queries.herd_years import NOW, score_of
from yards import isolation
from yards.models import Horse, Yard
from yards.rules import errors
from yards.rules.roles import Viewer

SPANS = pytest.mark.parametrize("months", [12, 24])


def a_hundred() -> None:
    """A hundred animals in three yards, one of them in the south."""
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        south = {"time_zone": "Pacific/Auckland", "hemisphere": "south"}
        Yard.objects.filter(ref=cast.ref("Nether Paddocks")).update(**south)
        Yard.objects.filter(ref=cast.ref("Sallow Field")).update(
            spring_first="02-10", spring_last="05-01"
        )
        herd_years.herd(viewer, 100, NOW)


of_a_hundred = pytest.mark.built(by=a_hundred)


@pytest.fixture
def herd(database: str) -> Iterator[Viewer]:
    """Whoever sees the hundred."""
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        yield viewer


def scope_of(viewer: Viewer, **wanted: Any) -> herd_scope.Scope:
    return herd_scope.scope(viewer, Wanted(**wanted), now=NOW)


def book_of(found: herd_scope.Scope, keep: Any = lambda _: True) -> Book:
    return Book(NOW, found.months, keep)


def words_of(book: Book, yard: int | None = None) -> dict[Any, str]:
    """The word of every animal that stood here in any of the months."""
    words = {each.horse.ref: book.letters(each, yard) for each in book.animals.values()}
    return {ref: word for ref, word in words.items() if set(word) != {"-"}}


@SPANS
@of_a_hundred
def test_every_month_of_every_horse(herd: Viewer, months: int) -> None:
    seen = ""
    for yard in (None, cast.ref("Top Barn"), cast.ref("Nether Paddocks")):
        found = scope_of(herd, months=months, yard=yard)
        words = words_of(book_of(found), found.chosen.id if found.chosen else None)
        rows = herd_months.strip(found, size=None).rows
        assert {row.horse: row.letters for row in rows} == words
        for column, told in enumerate(herd_months.counts(found)):
            held = herd_place.count([word[column] for word in words.values()])
            assert {letter: told[letter] for letter in held} == held
        seen += "".join(words.values())
    assert set(seen) == set("bwauvn-")


@of_a_hundred
def test_pages_hold_every_horse_once_in_order(herd: Viewer) -> None:
    for sort in herd_wanted.SORTS:
        whole = herd_months.strip(scope_of(herd, sort=sort), size=None).rows
        rows: list[herd_months.Row] = []
        after = None
        while True:
            page = herd_months.strip(scope_of(herd, sort=sort, after=after), size=25)
            rows += page.rows
            assert not page.restarted
            assert page.total == len(whole) == sum(page.counts.values())
            if not page.has_next:
                break
            after = page.rows[-1].horse
        assert tuple(rows) == whole
        assert len({row.horse for row in rows}) == len(rows) > 80
    # A horse that is gone from the list begins it anew.
    page = herd_months.strip(scope_of(herd, after=cast.ref("nobody")), size=25)
    assert page.restarted
    assert page.rows == herd_months.strip(scope_of(herd), size=25).rows


@of_a_hundred
def test_the_order_is_that_of_worry(herd: Viewer) -> None:
    rows = herd_months.strip(scope_of(herd), size=None).rows
    horses = {horse.ref: horse for horse in Horse.objects.all()}
    keys = []
    for row in rows:
        status = horses[row.horse].status
        is_here = status in {"present", "away"} and row.letters[-1] != "-"
        told = herd_place.worry(row.letters, is_here=is_here)
        assert (row.group, row.months) == told
        keys.append((herd_place.GROUPS.index(told.group), -told.months))
    assert keys == sorted(keys)
    assert {row.group for row in rows} == set(herd_place.GROUPS)


@of_a_hundred
def test_the_ends_of_seasons(herd: Viewer) -> None:
    for use in ("", "leisure"):
        found = scope_of(herd, use=use)
        book = book_of(found, lambda horse, use=use: use in {"", horse.use})
        tallies = herd_ends.tallies(found, now=NOW)
        ends = [(season, year) for season in herd_season.ENDS for year in herd_season.YEARS]
        alike = list(dict.fromkeys(each.yards for each in tallies))
        # Winter ends elsewhere on another day: such yards are told apart.
        assert len(alike) == 3
        assert [(each.yards, each.season, each.year) for each in tallies] == [
            (yards, *end) for yards in alike for end in ends
        ]
        assert sum(each.known for each in tallies) > 20
        for each in tallies:
            rows = book.at_end(each.season, each.year, {yard.ref for yard in each.yards})
            expected: dict[str, Counter[int]] = {}
            for row in rows:
                if row is not None:
                    low, high = row.band_low or Decimal(0), row.band_high or Decimal(0)
                    step = herd_step.step(score_of(row).nearest or 0, low, high)
                    expected.setdefault(row.scale, Counter())[step] += 1
            assert each.steps == expected
            assert each.unknown == sum(row is None for row in rows)


@SPANS
@of_a_hundred
def test_how_looks_were_met(herd: Viewer, months: int) -> None:
    found = scope_of(herd, months=months)
    told = herd_met.punctuality(found)
    looks = [each for each in book_of(found).met() if each[1] >= found.months[0].first]
    for month, met in told.months:
        held = Counter(kind for _, on, kind in looks if (on.year, on.month) == month)
        assert {kind: many for kind, many in met.counts.items() if many} == held
    assert all(told.whole.counts.values())
    names = found.names
    for name, met in told.yards:
        held = Counter(kind for yard, _, kind in looks if names[yard].name == name)
        assert {kind: many for kind, many in met.counts.items() if many} == held
    assert len(told.yards) == 3


def test_a_reader_of_some_yards_and_one_more_horse_sees_those(database: str) -> None:
    with isolation.of(whole := viewer_of("isolde")):
        herd_years.herd(whole, 60, NOW)
        every = herd_months.strip(scope_of(whole), size=None)
        named = Horse.objects.filter(yard__ref=cast.ref("Nether Paddocks"), status="present")[0].id
    some = viewer_of("maud")
    one_more = Viewer(
        some.organisation, some.role, some.person, yards=some.yards, horses=frozenset({named})
    )
    with isolation.of(one_more):
        found, keys = scope_of(one_more), some.yards or ()
        book = book_of(found, lambda horse: horse.yard_id in keys or horse.id == named)
        rows = herd_months.strip(found, size=None).rows
        assert {row.horse for row in rows} == set(words_of(book))
        assert len(rows) < every.total
    with isolation.of(some), pytest.raises(errors.NotFound):
        scope_of(some, yard=cast.ref("Nether Paddocks"))


def test_another_organisation_sees_nothing_of_it(database: str) -> None:
    with isolation.of(ours := viewer_of("isolde")):
        herd_years.herd(ours, 30, NOW)
    with isolation.of(theirs := viewer_of("perran")):
        found = scope_of(theirs)
        assert [row.name for row in herd_months.strip(found, size=None).rows] == ["Gorse"]
        assert herd_met.punctuality(found).whole.due == 0
        assert {each.known for each in herd_ends.tallies(found, now=NOW)} == {0}
        with pytest.raises(errors.NotFound):
            scope_of(theirs, yard=cast.ref("Top Barn"))


def test_a_thousand_horses_cost_as_many_queries_as_ten(database: str) -> None:
    viewer, counts = viewer_of("isolde"), []
    for many in (10, 990):
        with isolation.of(viewer):
            herd_years.herd(viewer, many, NOW, seed=many, goes_on=0.3)
            with CaptureQueriesContext(connection) as seen:
                found = scope_of(viewer)
                page = herd_months.strip(found, size=60)
                herd_months.counts(found)
                herd_ends.tallies(found, now=NOW)
                herd_met.punctuality(found)
        counts.append(len(seen))
    assert len(page.rows) == 60
    assert page.total > 800
    assert counts[0] == counts[1] == 6
