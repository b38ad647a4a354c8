"""The last year of each horse on a page as one small line: three queries for all of them.

The same filter and smoother as the horse's own page, by the same fits and resets; of readings, so
many days before the year that a baseline is known by when it enters. What is older would move the
line by less than a board can show.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

from scoring.models import Standing
from scoring.queries import fits, series, targets
from scoring.rules import outlook, smoothing

YEAR = timedelta(days=365)
# A baseline reaches over no longer gap than 120 days; three readings make a line.
BEFORE = timedelta(days=180)


@dataclass(frozen=True, slots=True)
class Moment:
    """The level at a time, in points on the line's scale, with its 80% interval."""

    at: datetime
    level: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Line:
    """One horse's year: runs of moments that a line may join, and how many readings there were."""

    scale: str
    runs: tuple[tuple[Moment, ...], ...]
    readings: int


class _Read(NamedTuple):
    """What a trend takes of an assessment."""

    horse: int
    at: datetime
    sixths: int
    scale: str
    assessor: int


def lines_of(
    standings: Sequence[Standing], orders: Mapping[int, targets.Orders], now: datetime
) -> Mapping[int, Line]:
    """Return the lines of horses by their keys, in three queries; those without readings lack."""
    held = _readings([each.horse_id for each in standings], now)
    models = fits.by_key(standings)
    return {
        each.horse_id: _line(
            held[each.horse_id],
            models.get(each.fit_id or 0, fits.DEFAULTS),
            orders.get(each.horse_id, targets.NO_ORDERS),
            now,
        )
        for each in standings
        if each.horse_id in held
    }


def _readings(horses: Sequence[int], now: datetime) -> dict[int, list[_Read]]:
    """Return the readings by horse, in order; those of animals that turned out to be it too."""
    owner = series.owners(horses)
    rows = (
        series.felt(owner)
        .filter(corrected_at__gt=now - YEAR - BEFORE)
        .order_by("corrected_at", "received_at", "id")
        .values_list("horse_id", "corrected_at", "overall_sixths", "scale", "assessor_id")
    )
    found: dict[int, list[_Read]] = {}
    for row in rows:
        read = _Read(*row)
        found.setdefault(owner[read.horse], []).append(read)
    return found


def _line(read: Sequence[_Read], fit: fits.InForce, orders: targets.Orders, now: datetime) -> Line:
    first, scale = now - YEAR, read[-1].scale
    lines = smoothing.smooth(
        [fit.score(each.at, each.sixths, each.scale, each.assessor) for each in read],
        model=fit.score_model(scale),
        resets=series.foalings_among(orders.events),
        at=[first],
    )
    runs = (
        tuple(_moments(line, first))
        for line in lines
        # Two scales share no axis, and of too few readings no line is drawn.
        if line.series == scale and not line.lacking
    )
    taken = sum(each.scale == scale and each.at >= first for each in read)
    return Line(scale, tuple(run for run in runs if run), taken)


def _moments(line: smoothing.Line, first: datetime) -> Iterable[Moment]:
    for point in line.points:
        if point.at >= first:
            told = outlook.on_scale(point.level, line.series)
            yield Moment(point.at, told.value, told.low, told.high)
