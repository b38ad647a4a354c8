"""The bench still runs: with tiny counts, and no figure of it judged."""

import pytest
from django.conf import settings

from tests.bench import measure, run


@pytest.mark.long
def test_the_bench_runs_and_prints_a_row_for_each_comparison(
    database: str, own_cache: None
) -> None:
    urls = settings.ROOT_URLCONF
    few = run.Counts(
        rounds=2,
        posts=1,
        batches=1,
        batch=5,
        horses=4,
        board_horses=80,
        rows=6,
        letters=0,
        taps=1,
        trend_horses=6,
        trend_readings=5,
        trend_sample=2,
        trend_steps=3,
    )
    table, tapped, *said = run.report(database, few)
    rows = [line.strip("| ").split(" | ") for line in table.splitlines()]
    assert [len(row) for row in rows[2:]] == [6] * 13
    assert [row[-1] for row in rows[2:]] == ["2", "2", "2", "2", "2", "2", "2", "1", *["2"] * 5]
    assert [line.split(" | ")[0] for line in tapped.splitlines()[3:]] == [
        "| a score chosen",
        "| a step on",
    ]
    assert len(said) == 3
    assert urls == settings.ROOT_URLCONF


def test_the_arms_take_turns_and_each_round_gives_a_ratio() -> None:
    turns: list[str] = []
    found = measure.compare(
        "ours", lambda: turns.append("a"), "floor", lambda: turns.append("b"), rounds=3
    )
    assert "".join(turns) == "ab" + "ba" + "ab" + "ba"
    assert len(found.ratios) == 3


@pytest.mark.parametrize(
    ("values", "expected"), [([2.0], (2, 2, 2)), ([4.0, 1.0, 2.0, 3.0, 5.0], (2, 3, 4))]
)
def test_the_spread_is_that_of_the_quartiles(
    values: list[float], expected: tuple[float, float, float]
) -> None:
    assert measure.quartiles(values) == expected
