"""The board a page at a time: every horse once, in order, by its filters, in a few queries."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scoring.models import Alert, Standing
from scoring.queries import board, board_rows
from scoring.rules import board as rule
from scoring.rules import board_wanted
from tests import cast
from tests.conftest import _owner, viewer_of
from tests.queries import board_herds
from yards import isolation
from yards.models import Horse, Yard
from yards.rules import errors
from yards.rules import horse as horse_rule
from yards.rules.roles import Viewer

# Half past eleven at night in London, tomorrow already in Auckland: days differ by yard.
NOW = datetime(2026, 7, 14, 22, 30, tzinfo=UTC)


def two_hundred() -> None:
    """Two hundred horses in three yards, one of them across the world."""
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        Yard.objects.filter(ref=cast.ref("Nether Paddocks")).update(time_zone="Pacific/Auckland")
        board_herds.herd(viewer, 200, NOW)


of_two_hundred = pytest.mark.built(by=two_hundred)


@pytest.fixture
def herd(database: str) -> Iterator[tuple[Viewer, board_herds.Herd]]:
    """The two hundred."""
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        yield viewer, board_herds.there()


@of_two_hundred
def test_the_planner_expects_most_of_the_standings_that_are_there(
    herd: tuple[Viewer, board_herds.Herd], database: str
) -> None:
    """Expecting one, it went through all alerts for each of 12,000 horses: 2.5 s, not 0.1."""
    with _owner(database) as owner:
        owner.execute("ANALYZE scoring_standing")
    with connection.cursor() as cursor:
        cursor.execute("EXPLAIN (FORMAT json) SELECT FROM scoring_standing")
        [[[found]]] = cursor.fetchall()
    assert found["Plan"]["Plan Rows"] > Standing.objects.count() / 4


def walked(viewer: Viewer, size: int, wanted: board_wanted.Wanted = board_wanted.ALL) -> list[Any]:
    """Every row by going from page to page."""
    rows: list[board_rows.Row] = []
    at = None
    while True:
        page = board.yard_board(viewer, now=NOW, wanted=wanted, at=at, size=size)
        rows += page.rows
        assert page.has_previous == (at is not None)
        if not page.has_next:
            return rows
        at = beyond(page.rows[-1])


def beyond(row: board_rows.Row, **facts: Any) -> board_wanted.Position:
    """The position of a row, as an address has it and is read."""
    made = board_wanted.Position(row.group, row.horse_id, late=row.late, calm=row.calm, **facts)
    read = board_wanted.position(made.pairs())
    assert read == made
    return made


def keys(rows: list[Any]) -> list[tuple[int, str]]:
    return [(rule.GROUPS.index(row.group), str(row.horse_id)) for row in rows]


def told(
    book: board_herds.Book, wanted: board_wanted.Wanted = board_wanted.ALL
) -> list[tuple[int, str]]:
    return [(place, ref) for place, *_, ref in book.expected(wanted)]


@pytest.mark.parametrize("size", [2, 7, 60, 1000])
@of_two_hundred
def test_each_horse_comes_once_and_in_order(
    herd: tuple[Viewer, board_herds.Herd], size: int
) -> None:
    viewer, _ = herd
    expected = told(board_herds.Book(viewer, NOW))
    assert len(expected) > 150
    assert {place for place, _ in expected} == set(range(5))
    assert keys(walked(viewer, size)) == expected


@of_two_hundred
def test_back_is_the_same_way(herd: tuple[Viewer, board_herds.Herd]) -> None:
    viewer, _ = herd
    rows = walked(viewer, 25)
    here = beyond(rows[75], is_before=True)
    page = board.yard_board(viewer, now=NOW, at=here, size=25)
    assert list(page.rows) == rows[50:75]
    assert page.has_next
    assert page.has_previous
    first = beyond(rows[25], is_before=True)
    assert not board.yard_board(viewer, now=NOW, at=first, size=25).has_previous


def _seldom(values: tuple[str, ...]) -> st.SearchStrategy[str]:
    """Nothing three times out of four, else one of the values."""
    return st.integers(0, 3).flatmap(lambda n: st.just("") if n else st.sampled_from(values))


def wants(herd: board_herds.Herd) -> st.SearchStrategy[board_wanted.Wanted]:
    """Any filters together."""
    words = ("bramble", "BRÁM", "lad sorrel", "orsted", "aenig", "o'malley 3", "עדש", "826", "0042")
    return st.builds(
        board_wanted.Wanted,
        yard=st.none() | st.sampled_from([each.ref for each in herd.yards]),
        group=_seldom(rule.GROUPS),
        use=_seldom(horse_rule.USES),
        place=_seldom(board_wanted.PLACES),
        trend=_seldom(rule.TRENDS),
        due=_seldom(board_wanted.DUES),
        assessor=st.none() | st.sampled_from([each.ref for each in herd.hands]),
        search=_seldom((*words, "826002000003ABC", "826 000 000 000 041")),
    )


@of_two_hundred
def test_filters_find_what_going_through_every_row_finds(
    herd: tuple[Viewer, board_herds.Herd],
) -> None:
    viewer, made = herd
    book, sizes = board_herds.Book(viewer, NOW), []

    @settings(max_examples=60, suppress_health_check=list(HealthCheck))
    @given(wants(made))
    def held(wanted: board_wanted.Wanted) -> None:
        expected = told(book, wanted)
        page = board.yard_board(viewer, now=NOW, wanted=wanted, size=500)
        assert keys(list(page.rows)) == expected
        counted = dict.fromkeys(rule.GROUPS, 0)
        for place, _ in told(book, board_wanted.read(dict(wanted.pairs(group="")))):
            counted[rule.GROUPS[place]] += 1
        assert dict(page.counts) == counted
        everywhere = told(book, board_wanted.read(dict(wanted.pairs(group="", yard=""))))
        assert page.yards[0].count == len(everywhere)
        sizes.append(len(expected))

    held()
    assert sum(1 for size in sizes if size) > 20


@pytest.mark.parametrize("name", ["use", "place", "trend", "due", "group"])
@of_two_hundred
def test_each_filter_alone_parts_the_herd(herd: tuple[Viewer, board_herds.Herd], name: str) -> None:
    viewer, _ = herd
    every = set(told(board_herds.Book(viewer, NOW)))
    closed: tuple[str, ...] = board_wanted._LISTS[name]
    parts = [set(keys(walked(viewer, 500, board_wanted.read({name: value})))) for value in closed]
    assert all(parts)
    assert set().union(*parts) <= every
    if name != "due":  # what is overdue is due as well
        assert sum(map(len, parts)) == len(every)


def test_a_reader_of_some_yards_and_of_one_more_horse_sees_those(database: str) -> None:
    whole = viewer_of("isolde")
    with isolation.of(whole):
        board_herds.herd(whole, 60, NOW)
        named = Horse.objects.filter(yard__ref=cast.ref("Nether Paddocks"), status="present")[0]
        key = named.id
    some = viewer_of("maud")
    one_more = Viewer(
        some.organisation, some.role, some.person, yards=some.yards, horses=frozenset({key})
    )
    with isolation.of(one_more):
        page = board.yard_board(one_more, now=NOW, size=500)
        expected = {ref for *_, ref in board_herds.Book(one_more, NOW).expected()}
        assert {str(row.horse_id) for row in page.rows} == expected | {str(named.ref)}
        assert [each.name for each in page.yards[1:]] == [
            *("Nether Paddocks", "Sallow Field", "Top Barn")
        ]
        assert page.yards[1].count == 1


def test_another_organisations_horses_are_never_counted_or_shown(database: str) -> None:
    with isolation.of(ours := viewer_of("isolde")):
        board_herds.herd(ours, 40, NOW)
    theirs = viewer_of("perran")
    with isolation.of(theirs):
        page = board.yard_board(theirs, now=NOW, size=500)
        assert [row.name for row in page.rows] == ["Gorse"]
        assert page.total == page.yards[0].count == 1
        with pytest.raises(errors.NotFound):
            board.yard_board(theirs, now=NOW, wanted=board_wanted.Wanted(yard=cast.ref("Top Barn")))
        ref = cast.ref("Teasel")
        page = board.yard_board(theirs, now=NOW, at=board_wanted.Position("decide", ref))
        assert page.restarted
        assert [row.name for row in page.rows] == ["Gorse"]


@of_two_hundred
def test_a_horse_that_changes_group_between_pages_is_told(
    herd: tuple[Viewer, board_herds.Herd],
) -> None:
    viewer, _ = herd
    rows = walked(viewer, 500)
    anchor, later = rows[59], rows[120]
    at = beyond(anchor, since=NOW)
    page = board.yard_board(viewer, now=NOW, at=at)
    assert (page.touched, page.restarted) == (0, False)
    assert [row.horse_id for row in page.rows] == [row.horse_id for row in rows[60:120]]
    # One further on is alarmed meanwhile, and the one the page begins at is scored and in order.
    _alarm(viewer, later.horse_id)
    Standing.objects.filter(horse__ref=anchor.horse_id).update(
        score_due_at=NOW + timedelta(days=20),
        weight_due_at=NOW + timedelta(days=20),
        updated_at=NOW + timedelta(minutes=1),
    )
    page = board.yard_board(viewer, now=NOW, at=at)
    assert page.touched == 2
    kept = [row.horse_id for row in rows[60:] if row.horse_id not in {later.horse_id}]
    assert [row.horse_id for row in page.rows] == kept[:60]


def _alarm(viewer: Viewer, ref: Any) -> None:
    horse = Horse.objects.get(ref=ref)
    Alert.objects.filter(horse=horse).exclude(state="resolved").update(
        state="resolved", resolved_at=NOW, resolution="reading"
    )
    Alert.objects.create(
        organisation_id=viewer.organisation,
        ref=cast.ref("alarm"),
        horse=horse,
        yard_id=horse.yard_id,
        rule="danger_signs",
        severity="urgent",
        state="open",
        opened_at=NOW + timedelta(minutes=1),
        seen_at=NOW + timedelta(minutes=1),
        said={},
    )


@of_two_hundred
def test_a_horse_that_went_away_between_pages_begins_its_group_anew(
    herd: tuple[Viewer, board_herds.Herd],
) -> None:
    viewer, _ = herd
    rows = walked(viewer, 500)
    gone = rows[70]
    at = board_wanted.Position(gone.group, cast.ref("nobody"))
    page = board.yard_board(viewer, now=NOW, at=at, size=500)
    assert page.restarted
    first = [row.group for row in rows].index(gone.group)
    assert [row.horse_id for row in page.rows] == [row.horse_id for row in rows[first:]]


def test_a_thousand_horses_cost_as_many_queries_as_ten(database: str) -> None:
    viewer = viewer_of("isolde")
    counts = []
    for first, many in ((0, 10), (10, 990)):
        with isolation.of(viewer):
            board_herds.herd(viewer, many, NOW, seed=many, first=first)
            with CaptureQueriesContext(connection) as seen:
                page = board.yard_board(viewer, now=NOW)
        counts.append(len(seen))
    assert len(page.rows) == board.SIZE
    assert page.total > 900
    assert counts[0] == counts[1] <= 9


@of_two_hundred
def test_a_glance_changes_with_what_is_on_the_page_and_with_nothing_else(
    herd: tuple[Viewer, board_herds.Herd],
) -> None:
    viewer, _ = herd
    first = board.glance(viewer, now=NOW).mark
    assert board.glance(viewer, now=NOW + timedelta(seconds=30)).mark == first
    last = walked(viewer, 500)[-1]
    Standing.objects.filter(horse__ref=last.horse_id).update(updated_at=NOW)
    assert board.glance(viewer, now=NOW).mark == first
    _alarm(viewer, last.horse_id)
    assert board.glance(viewer, now=NOW).mark != first
    assert board.glance(viewer, now=NOW + timedelta(hours=1)).mark != first
