"""Small drawings beside the large one: the three regions, crest and girths, the year before."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from django.utils.translation import gettext

from scoring.pages import chart_changed, chart_key, chart_main, chart_parts, chart_units, labels
from scoring.pages.chart_parts import Dot, Drawing, Told
from scoring.queries import trend, wording
from scoring.queries.chart import A_YEAR, Chart
from scoring.queries.chart_readings import Score, Weight
from scoring.queries.trend import SCORE, TrendCard
from scoring.rules import (
    chart_line,
    chart_plot,
    chart_scale,
    chart_time,
    scale,
)
from scoring.rules.chart_plot import Frame
from scoring.rules.chart_scale import Scale, Ticks
from scoring.rules.chart_window import Window
from yards.pages import words

_WIDE, _HIGH = 264, 160
_LEFT, _RIGHT, _TOP, _BOTTOM, _MONTHS = 34.0, 256.0, 10.0, 132.0, 153.0
_SIZE = 3.6
# No girth's axis spans less, in centimetres.
_LEAST_CM = 10.0


class Panel(NamedTuple):
    """A small drawing with its title and what it shows, in words."""

    title: str
    said: str
    drawing: Drawing


def _blank(name: str, window: Window, ticks: Ticks, zone: str) -> tuple[Drawing, Frame]:
    """Return an empty drawing with its time axis, and its frame."""
    along = chart_time.scale(window.first, window.until, _LEFT, _RIGHT)
    frame = Frame(along, Scale(ticks.low, ticks.high, _BOTTOM, _TOP))
    drawing = Drawing(name, _WIDE, _HIGH)
    marked = chart_time.ticks(window.first, window.until, zone, along, 36)
    chart_parts.months(drawing, along, marked, [(_TOP, _BOTTOM)], _MONTHS)
    return drawing, frame


def _rules(drawing: Drawing, frame: Frame, ticks: Iterable[float], halves: bool) -> None:
    """Draw a line across at each tick that is told, and tell it."""
    told = [each for each in ticks if not halves or each % 1 == 0]
    drawing.draw("gr", chart_plot.levels(frame, told))
    for each in told:
        text = labels.written(round(each * 2)) if halves else chart_units.amount(each)
        drawing.write(_LEFT - 6, frame.up.at(each) + 4.5, text, "ax e")


def regions(chart: Chart, zone: str) -> list[Panel]:
    """Return the three regions on one scale, as used; none on a scale without regions."""
    found = [each for each in chart.scores if each.used and each.regions and chart.seen(each.at)]
    if not found:
        return []
    lows = [float(one) for each in found for one in each.regions.values() if one is not None]
    ends = (float(scale.of(scale.FIVE).low_points), float(scale.of(scale.FIVE).high_points))
    ticks = chart_scale.of_scores(lows, *ends)
    return [_region(chart, found, name, ticks, zone) for name in scale.REGIONS]


def _region(chart: Chart, found: Sequence[Score], name: str, ticks: Ticks, zone: str) -> Panel:
    shapes = chart_key.shapes(chart)
    drawing, frame = _blank(f"region-{scale.REGIONS.index(name)}", chart.window, ticks, zone)
    _edged(drawing, frame, chart.trends[SCORE], chart.window, zone)
    _rules(drawing, frame, ticks.at, halves=True)
    dots = [
        Dot(each.at, float(value), shapes[each.hand])
        for each in found
        if (value := each.regions[name]) is not None
    ]
    nodes = [chart_line.Node(each.at, each.value, each.value, each.value) for each in dots]
    gaps = chart_line.gaps([each.at for each in nodes], chart.window.until)
    runs = chart_line.runs(nodes, gaps)
    drawing.draw("thin", chart_plot.lines(frame, runs).line)
    chart_parts.dots(drawing, frame, dots, _SIZE)
    title = wording.region(name)
    return Panel(words.capital(title), _first_and_last(dots, zone, _half), drawing)


def _half(value: Decimal | float) -> str:
    return labels.written(round(float(value) * 2))


def _first_and_last(dots: Sequence[Dot], zone: str, unit: Callable[[float], str]) -> str:
    if not dots:
        return gettext("None in this time.")
    first, last = dots[0], dots[-1]
    told = gettext("{before} on {first}, {after} on {last}.")
    return told.format(
        before=unit(first.value),
        first=words.day(first.at, zone),
        after=unit(last.value),
        last=words.day(last.at, zone),
    )


def _edged(drawing: Drawing, frame: Frame, card: TrendCard, window: Window, zone: str) -> None:
    edges = chart_parts.within(chart_parts.edges(card, zone), window)
    held = [each for each in edges if each.at <= window.until]
    band = chart_plot.band(frame, held)
    drawing.draw("band", band.fill)
    drawing.draw("bedge", band.edges)


def others(chart: Chart, zone: str) -> Iterator[Panel]:
    """Yield crest and girths, where there are any, each with its line and interval."""
    titles = {
        trend.CREST: gettext("Crest, 0 to 5"),
        trend.HEART_GIRTH: gettext("Heart girth, {unit}"),
        trend.BELLY_GIRTH: gettext("Belly girth, {unit}"),
    }
    for measure, title in titles.items():
        if measure in chart.trends:
            card = chart.trends[measure]
            named = title.format(unit=chart_units.name(measure))
            yield _measured(chart, card, named, zone)


def _measured(chart: Chart, card: TrendCard, title: str, zone: str) -> Panel:
    factor, window = chart_units.times(card.measure), chart.window
    told = chart_parts.told(card, window.until, chart.now, factor)
    dots = list(_dots(chart, card, factor))
    reach = [*(each.value for each in dots), *(value for each in told.drawn for value in each[2:4])]
    crest = card.measure == trend.CREST
    ticks = (
        chart_scale.of_scores([0.0], 0.0, float(scale.of(scale.CREST).high_points))
        if crest
        else chart_scale.of_amounts(reach, _LEAST_CM * factor, 4)
    )
    drawing, frame = _blank(card.measure, window, ticks, zone)
    _rules(drawing, frame, ticks.at, halves=crest)
    lines = chart_plot.lines(frame, told.runs)
    drawing.draw("rib", lines.ribbon)
    drawing.draw("ln w", lines.line)
    chart_parts.dots(drawing, frame, dots, _SIZE)
    unit = _half if crest else lambda value: chart_units.said(card.measure, value / factor)
    return Panel(title, _first_and_last(dots, zone, unit), drawing)


def _dots(chart: Chart, card: TrendCard, factor: float) -> Iterator[Dot]:
    shapes = chart_key.shapes(chart)
    readings: list[Score | Weight] = [*chart.scores, *chart.weights]
    hands = {each.id: each.hand for each in readings}
    for point in card.points:
        yield Dot(point.at, float(point.value) * factor, shapes[hands[point.id]])


def season(chart: Chart, score: Told, zone: str) -> Panel:
    """Return this year's line over that of the same days a year before."""
    since, until = chart.season
    window = chart.window._replace(first=since, until=until, last=until)
    mine = [[one for one in run if one.at >= since] for run in score.runs]
    before = chart_parts.told(chart.year_ago, until - A_YEAR, chart.now)
    past = [[one._replace(at=one.at + A_YEAR) for one in run] for run in before.runs]
    nodes = [one for run in (*mine, *past) for one in run]
    ticks = chart_scale.of_scores(
        (each.low for each in nodes), *chart_main.ends(chart.trends[SCORE])
    )
    drawing, frame = _blank("season", window, ticks, zone)
    _edged(drawing, frame, chart.trends[SCORE], window, zone)
    _rules(drawing, frame, ticks.at, halves=True)
    shown, gone = (chart_plot.lines(frame, [run for run in runs if run]) for runs in (mine, past))
    drawing.draw("rib", shown.ribbon)
    drawing.draw("edge", gone.ribbon)
    drawing.draw("ln past", gone.line)
    drawing.draw("ln", shown.line)
    told = chart_changed.season(chart, score, before, zone)
    return Panel(gettext("Same season last year"), told, drawing)
