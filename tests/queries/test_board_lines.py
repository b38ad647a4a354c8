"""The small lines of a board are those of the horse's own page, as near as can be seen."""

import json
import random
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from scoring.queries import board, board_lines, trend
from scoring.rules import baseline
from tests.conftest import viewer_of
from tests.queries import board_herds
from yards import isolation
from yards.access import viewers
from yards.models import Yard

# Half a pixel on the board: three points of a score are drawn in 38 of them.
UNSEEN = 0.04
NOW = datetime(2026, 7, 14, 12, 30, tzinfo=UTC)


@pytest.mark.long
def test_each_line_is_the_trend_of_the_horses_own_page(demo: str, demo_keys: Path) -> None:
    now = datetime.now(UTC)
    keys = json.loads((demo_keys / "demo.json").read_text())
    viewer = viewers.viewer_of_token(keys["tokens"]["coordinator"], now)
    with isolation.of(viewer):
        page = board.yard_board(viewer, now=now, size=500)
        assert len(page.rows) > 40
        compared = sum(_compared(viewer, row, now) for row in page.rows)
    assert compared > 400


def _compared(viewer: Any, row: Any, now: datetime) -> int:
    """How many moments of a row's line are on the trend of its page; each of them must be."""
    card = trend.get_trend(viewer, row.horse_id, since=now - board_lines.YEAR, now=now)
    told = {each.at: each for each in card.smoothed}
    drawn = [each for run in row.line.runs for each in run] if row.line is not None else []
    same = [each for each in drawn if each.at in told]
    read = {each.at for each in card.points if each.used}
    assert {each.at for each in same} >= read & told.keys()
    for each in same:
        beside = told[each.at]
        assert each.level == pytest.approx(beside.level, abs=UNSEEN)
        assert each.low == pytest.approx(beside.low, abs=UNSEEN)
        assert each.high == pytest.approx(beside.high, abs=UNSEEN)
    return len(same)


def test_no_run_joins_readings_over_a_gap_or_leaves_the_year(database: str) -> None:
    viewer = viewer_of("isolde")
    with isolation.of(viewer):
        yards, by = list(Yard.objects.all()), board_herds.hands(viewer, "Hand")
        [animal] = board_herds.horses(viewer, yards, 1, random.Random(1))
        draw = random.Random(2)
        for ends in (NOW, NOW - timedelta(days=200)):
            board_herds.scored(viewer, [animal], by, ends, draw, each=5)
        board_herds.standings(viewer, [animal], [], NOW, draw)
        [row] = [
            each
            for each in board.yard_board(viewer, now=NOW, size=500).rows
            if each.horse_id == animal.ref
        ]
    assert row.line is not None
    assert row.line.readings == 10
    assert len(row.line.runs) == 2
    first, last = row.line.runs
    gap = timedelta(days=baseline.LONGEST_GAP_DAYS)
    assert last[0].at - first[-1].at > gap
    for run in row.line.runs:
        assert all(each.at >= NOW - board_lines.YEAR for each in run)
        assert all(each.low < each.level < each.high for each in run)


def test_lines_of_sixty_horses_of_a_year_are_three_queries(database: str) -> None:
    viewer, counts = viewer_of("isolde"), []
    for first, many in ((0, 5), (5, 55)):
        with isolation.of(viewer):
            draw = random.Random(many)
            yards, by = list(Yard.objects.all()), board_herds.hands(viewer, f"Hand {first}")
            made = board_herds.horses(viewer, yards, many, draw, first=first)
            board_herds.scored(viewer, made, by, NOW, draw, each=20)
            board_herds.standings(viewer, made, [], NOW, draw)
            with CaptureQueriesContext(connection) as seen:
                page = board.yard_board(viewer, now=NOW)
        counts.append(len(seen))
    assert counts[0] == counts[1]
    assert sum(row.line is not None and bool(row.line.runs) for row in page.rows) > 40
