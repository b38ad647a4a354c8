"""What is drawn of one horse: the trends as they are told elsewhere, and the readings behind them.

The numbers are those of ``trend.get_trends``, which answers the REST surface too; nothing is
reckoned here a second time.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from scoring.queries import chart_marks, chart_readings, evidence, periods, trend
from scoring.queries.chart_readings import Score, Weight
from scoring.queries.trend import TrendCard
from scoring.rules import chart_window, reading
from scoring.rules.chart_window import Window
from yards.access import doors
from yards.rules.roles import Verb, Viewer

A_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Chart:
    """One window of one horse. ``trends`` by measure, always score and weight, others if any.

    ``scores`` and ``weights`` are all there are, in order, whatever the window; ``year_ago`` is the
    score's trend of the same days a year before, ``season`` those days this year.
    """

    window: Window
    season: tuple[datetime, datetime]
    trends: Mapping[str, TrendCard]
    year_ago: TrendCard
    scores: tuple[Score, ...]
    weights: tuple[Weight, ...]
    marks: tuple[chart_marks.Mark, ...]
    now: datetime

    def seen(self, at: datetime) -> bool:
        """Return whether a time lies in the window."""
        return self.window.first <= at <= self.window.until


def get_chart(
    viewer: Viewer, horse: UUID, asked: chart_window.Asked, *, now: datetime, zone: str
) -> Chart:
    """Return what is drawn of a horse; raises NotFound or NotAllowed."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_READINGS)
    kin = evidence.family(subject.id)
    scores, weights = chart_readings.scores(kin), chart_readings.weights(kin)
    earliest = min((rows[0].at for rows in (scores, weights) if rows), default=None)
    window = chart_window.of(asked, earliest=earliest, now=now, zone=zone)
    season = (max(window.first, window.until - A_YEAR), window.until)
    measures = [trend.SCORE, trend.WEIGHT, *_others(scores, weights)]
    wanted = [periods.Asked(each, window.first, window.last) for each in measures]
    before = periods.Asked(trend.SCORE, *(each - A_YEAR for each in season))
    *told, year_ago = trend.get_trends(viewer, horse, [*wanted, before], now=now)
    return Chart(
        window=window,
        season=season,
        trends=dict(zip(measures, told, strict=True)),
        year_ago=year_ago,
        scores=scores,
        weights=weights,
        marks=chart_marks.of(kin, window),
        now=now,
    )


def _others(scores: tuple[Score, ...], weights: tuple[Weight, ...]) -> Iterator[str]:
    """Yield the measures that there are any readings of, besides score and weight."""
    for measure in (trend.HEART_GIRTH, trend.BELLY_GIRTH):
        if any(measure in each.girths for each in weights if not each.over):
            yield measure
    felt = (each for each in scores if each.manner == reading.PALPATED and not each.over)
    if any(each.crest is not None for each in felt):
        yield trend.CREST
