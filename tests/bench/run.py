"""The whole bench, on the database that Django is connected to."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.core.cache import cache
from django.test import override_settings

from tests.bench import agreement, arms, boards, letters, measure, stage, taps, trends


@dataclass(frozen=True)
class Counts:
    """How much of everything."""

    rounds: int = 40
    posts: int = 5
    batches: int = 3
    batch: int = 500
    horses: int = 60
    board_horses: int = 12_000
    rows: int = 100
    letters: int = 20
    taps: int = 40
    trend_horses: int = 12_000
    trend_readings: int = 130
    trend_sample: int = 12
    trend_steps: int = 1000


def report(database: str, counts: Counts) -> Iterator[str]:
    """Make the stage, compare, and return Markdown, part by part as it comes."""
    from deploy.wsgi import application

    made = stage.build(database, counts.horses)
    with override_settings(ROOT_URLCONF="tests.bench.bare"):
        yield measure.table(list(_comparisons(application, made, database, counts)))
    stage.clear(database)
    if counts.taps:
        yield from _tapped(database, counts.taps)
    if counts.letters:
        took = letters.seconds(application, made, letters=counts.letters, database=database)
        middle, most = measure.percentile(took, 0.5), measure.percentile(took, 0.95)
        yield (
            f"\nFrom commit to the mail server, {len(took)} alarming readings: median "
            f"{middle * 1000:.0f} ms, 95% within {most * 1000:.0f} ms."
        )


def _tapped(database: str, rounds: int) -> Iterator[str]:
    """What a tap on the scoring page costs, beside the least that one can cost there."""
    found = taps.measured(database, rounds)
    yield f"\n{measure.table(found.comparisons)}"
    for name, took in found.seen.items():
        middle, most = measure.percentile(took, 0.5), measure.percentile(took, 0.95)
        yield (
            f"\nFrom tap to paint, {taps.SLOWER} times slower, {name}: median {middle:.0f} ms, "
            f"95% within {most:.0f} ms."
        )


def _comparisons(
    application: Any, made: stage.Stage, database: str, counts: Counts
) -> Iterator[measure.Comparison]:
    # Before each round the requests counted are forgotten, so that no limit is met.
    many = counts.rounds
    ours, floor = arms.single_post(application, made, counts.posts)
    name, against = "assessments, one POST each", "plain REST framework, the bare rows"
    yield measure.compare(
        f"{counts.posts} {name}", ours, against, floor, before=cache.clear, rounds=many
    )
    page, replayed, by_hand = arms.board(application, made)
    name = f"board of {counts.horses} horses"
    yield measure.compare(name, page, "its own statements, replayed", replayed, rounds=many)
    yield measure.compare(name, page, "one SELECT by hand", by_hand, rounds=many)
    yield from boards.comparisons(application, made, database, counts.board_horses, many)
    ours, floor = arms.listed(application, counts.rows)
    name, against = f"list of {counts.rows} assessments", "json_agg of the same rows"
    yield measure.compare(name, ours, against, floor, before=cache.clear, rounds=many)
    ours, floor = arms.batch(application, made, counts.batch)
    name, against = f"batch of {counts.batch}", "COPY of the same rows into a bare table"
    yield measure.compare(name, ours, against, floor, before=cache.clear, rounds=counts.batches)
    yield from trends.comparisons(
        horses=counts.trend_horses,
        readings=counts.trend_readings,
        sample=counts.trend_sample,
        steps=counts.trend_steps,
        rounds=many,
    )
    yield from agreement.comparisons(many)
