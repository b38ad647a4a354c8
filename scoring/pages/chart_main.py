"""The drawing of score and weight beneath each other on one time axis, for laptop and phone."""

import dataclasses
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

from django.utils.translation import gettext

from scoring.pages import chart_key, chart_marks, chart_parts, chart_units, labels
from scoring.pages.chart_parts import Dot, Drawing, Told
from scoring.queries.chart import Chart
from scoring.queries.trend import SCORE, WEIGHT, Point, TrendCard
from scoring.rules import chart_line, chart_plot, chart_scale, chart_shape, chart_time, scale
from scoring.rules.chart_plot import Frame
from scoring.rules.chart_scale import Scale, Ticks
from yards.pages import words

# No weight axis spans less, in kilograms: a tape repeats within ten.
LEAST_KG = 40.0
_WORDS_HIGH, _GAP_WORDS, _AHEAD_WORDS, _BAND_WORDS = 20.0, 150.0, 60.0, 150.0
# From the score's plot to the weight's where nothing is marked between them.
_NO_ROWS = 44.0


class Layout(NamedTuple):
    """Where things stand in one width; every number is a pixel of the drawing's own."""

    name: str
    width: int
    height: int
    left: float
    right: float
    score: tuple[float, float]
    rows: tuple[float, float]
    weight: tuple[float, float]
    months: float
    apart: float
    size: float


WIDE = Layout("wide", 812, 478, 40, 798, (30, 252), (282, 306), (346, 448), 468, 38, 4.8)
NARROW = Layout("nar", 358, 470, 30, 350, (30, 236), (266, 290), (334, 438), 460, 31, 4.6)
LAYOUTS = (WIDE, NARROW)


@dataclass(frozen=True, slots=True)
class Whole:
    """What both widths are drawn from."""

    chart: Chart
    zone: str
    score: Told
    weight: Told
    score_dots: list[Dot]
    weight_dots: list[Dot]
    score_ticks: Ticks
    weight_ticks: Ticks


def drawings(chart: Chart, zone: str) -> list[Drawing]:
    """Return the drawing in each width."""
    found = _told(chart, zone)
    return [_drawing(found, each if chart.marks else _closed(each)) for each in LAYOUTS]


def _closed(at: Layout) -> Layout:
    """Return a layout without the rows of marks, where there are none."""
    up = at.weight[0] - at.score[1] - _NO_ROWS
    weight = (at.weight[0] - up, at.weight[1] - up)
    return at._replace(height=round(at.height - up), weight=weight, months=at.months - up)


def _told(chart: Chart, zone: str) -> Whole:
    score, weight = chart.trends[SCORE], chart.trends[WEIGHT]
    until, factor = chart.window.until, chart_units.times(WEIGHT)
    line = _cut(chart_parts.told(score, until, chart.now), chart)
    heavy = _cut(chart_parts.told(weight, until, chart.now, factor), chart)
    scores, weights = list(_scores(chart, zone)), list(_weights(chart, zone, factor))
    lows = [*_ends(scores), *line.reach, *(float(each.low) for each in score.band)]
    reach = [*_ends(weights), *heavy.reach]
    return Whole(
        chart=chart,
        zone=zone,
        score=line,
        weight=heavy,
        score_dots=scores,
        weight_dots=weights,
        score_ticks=chart_scale.of_scores(lows, *ends(score)),
        weight_ticks=chart_scale.of_amounts(reach, LEAST_KG * factor),
    )


def _cut(told: Told, chart: Chart) -> Told:
    """Return a measure without what is to come after the axis has ended."""
    return dataclasses.replace(told, ahead=chart_line.up_to(told.ahead, chart.window.last))


def ends(card: TrendCard) -> tuple[float, float]:
    """Return the ends of the scale that a score is on."""
    found = scale.of(card.scale or scale.FIVE)
    return float(found.low_points), float(found.high_points)


def _ends(found: Iterable[Dot]) -> Iterator[float]:
    for each in found:
        yield from (value for value in (each.value, each.low, each.high) if value is not None)


def _scores(chart: Chart, zone: str) -> Iterator[Dot]:
    hands = {each.id: each.hand for each in chart.scores}
    shapes = chart_key.shapes(chart)
    for point in chart.trends[SCORE].points:
        shape = shapes[hands[point.id]] if point.used else chart_shape.SEEN
        yield Dot(point.at, float(point.value), shape, partial(_said, SCORE, point, zone))


def _weights(chart: Chart, zone: str, factor: float) -> Iterator[Dot]:
    errors = {each.id: each.error_kg for each in chart.weights}
    for point in chart.trends[WEIGHT].points:
        kg, error = float(point.value), errors[point.id]
        off = float(error) if error is not None else None
        if point.method == "weigh_tape":
            off = chart_shape.TAPE_REPEATS_KG
        low, high = (None, None) if off is None else ((kg - off) * factor, (kg + off) * factor)
        shape = chart_shape.METHODS[point.method]
        said = partial(_said, WEIGHT, point, zone)
        yield Dot(point.at, kg * factor, shape, said, low, high)


def _said(measure: str, point: Point, zone: str) -> str:
    told = gettext("{value}, {when}, {name}")
    value = chart_units.exactly(measure, point.value)
    return told.format(value=value, when=words.at(point.at, zone), name=point.by)


def _drawing(found: Whole, at: Layout) -> Drawing:
    window = found.chart.window
    along = chart_time.scale(window.first, window.last, at.left, at.right)
    score = Frame(along, Scale(*found.score_ticks[:2], at.score[1], at.score[0]))
    weight = Frame(along, Scale(*found.weight_ticks[:2], at.weight[1], at.weight[0]))
    drawing = Drawing(at.name, at.width, at.height, meta=_meta(found, at))
    ticks = chart_time.ticks(window.first, window.last, found.zone, along, at.apart)
    chart_parts.months(drawing, along, ticks, (at.score, at.weight), at.months)
    _band(drawing, score, found, at)
    _grid(drawing, score, found.score_ticks.at, at)
    _lines(drawing, score, found.score, "ln")
    _heavy(drawing, weight, found, at)
    _today(drawing, along, found, at)
    chart_parts.dots(drawing, score, found.score_dots, at.size)
    chart_parts.dots(drawing, weight, found.weight_dots, at.size)
    chart_marks.drawn(drawing, found.chart.marks, along, at.rows)
    _written(drawing, along, found, at)
    return drawing


def _meta(found: Whole, at: Layout) -> dict[str, str]:
    """Return the scales as numbers: what a script pans by, what a test measures by."""
    window = found.chart.window
    told = {
        "first": window.first.timestamp(),
        "last": window.last.timestamp(),
        "left": at.left,
        "right": at.right,
        "score-low": found.score_ticks.low,
        "score-high": found.score_ticks.high,
        "score-top": at.score[0],
        "score-bottom": at.score[1],
        "weight-low": found.weight_ticks.low,
        "weight-high": found.weight_ticks.high,
        "weight-top": at.weight[0],
        "weight-bottom": at.weight[1],
    }
    return {name: repr(float(value)) for name, value in told.items()}


def _band(drawing: Drawing, frame: Frame, found: Whole, at: Layout) -> None:
    card = found.chart.trends[SCORE]
    edges = chart_parts.within(chart_parts.edges(card, found.zone), found.chart.window)
    band = chart_plot.band(frame, edges)
    drawing.draw("band", band.fill)
    drawing.draw("bedge", band.edges)
    drawing.draw("aim", band.aim)
    for one, end in chart_plot.levels_of(edges, found.chart.window.until):
        left, right = (frame.along.at(each.timestamp()) for each in (one.at, end))
        high = frame.up.at(one.low) - frame.up.at(one.high)
        if high >= _WORDS_HIGH and right - left >= _BAND_WORDS:
            drawing.write(left + 8, frame.up.at(one.low) - 6, chart_units.band(one), "bw")


def _grid(drawing: Drawing, frame: Frame, ticks: Iterable[float], at: Layout) -> None:
    """Draw the half points: whole ones across, halves as short ticks; words where they fit."""
    halves = list(ticks)
    drawing.draw("gr", chart_plot.levels(frame, [each for each in halves if each % 1 == 0]))
    short = frame._replace(along=frame.along._replace(start=at.left - 4, end=at.left))
    drawing.draw("tk", chart_plot.levels(short, halves))
    roomy = frame.up.at(0.0) - frame.up.at(0.5) >= _WORDS_HIGH
    for each in halves:
        if roomy or each % 1 == 0:
            told = labels.written(round(each * 2))
            drawing.write(at.left - 7, frame.up.at(each) + 4.5, told, "ax e")


def _lines(drawing: Drawing, frame: Frame, told: Told, css: str) -> None:
    lines = chart_plot.lines(frame, told.runs)
    ahead = chart_plot.lines(frame, [told.ahead] if told.ahead else [])
    drawing.draw("rib", lines.ribbon)
    drawing.draw("rib f", ahead.ribbon)
    drawing.draw(css, lines.line)
    drawing.draw(f"{css} f", ahead.line)


def _heavy(drawing: Drawing, frame: Frame, found: Whole, at: Layout) -> None:
    """Draw the weight's axis and line, or say that there is none."""
    if not found.weight_dots and not found.weight.runs:
        middle = (at.weight[0] + at.weight[1]) / 2
        drawing.write(at.left + 8, middle, gettext("Not weighed in this time"), "an")
        return
    drawing.draw("gr", chart_plot.levels(frame, found.weight_ticks.at))
    for each in found.weight_ticks.at:
        drawing.write(at.left - 7, frame.up.at(each) + 4.5, chart_units.amount(each), "ax e")
    _lines(drawing, frame, found.weight, "ln w")


def _today(drawing: Drawing, along: Scale, found: Whole, at: Layout) -> None:
    if found.chart.window.is_now:
        x = along.at(found.chart.now.timestamp())
        drawing.draw("now", chart_plot.uprights([x], at.score[0] - 6, at.weight[1]))
        drawing.write(x - 5, at.score[0] - 11, gettext("Today"), "nw")


def _written(drawing: Drawing, along: Scale, found: Whole, at: Layout) -> None:
    """Write what stands beside the plots: their names, what a gap is, what is to come."""
    drawing.write(4, at.score[0] - 11, gettext("Overall score"), "hd")
    weight = gettext("Weight, {unit}").format(unit=chart_units.name(WEIGHT))
    drawing.write(4, at.weight[0] - 12, weight, "hd")
    for since, until in chart_parts.seen_gaps(found.score, found.chart.window):
        left = along.at(max(since, found.chart.window.first).timestamp())
        right = along.at(until.timestamp())
        if right - left >= _GAP_WORDS:
            told = gettext("No score for {days} days").format(days=(until - since).days)
            drawing.write((left + right) / 2, at.score[0] + 16, told, "an m")
    if (
        found.score.ahead
        and at.name == WIDE.name
        and along.end - along.at(found.chart.now.timestamp()) > 60
    ):
        drawing.write(at.right, at.score[0] + 12, gettext("if nothing"), "an e")
        drawing.write(at.right, at.score[0] + 26, gettext("changes"), "an e")
