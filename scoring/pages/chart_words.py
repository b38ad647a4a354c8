"""What a drawing shows, in sentences: for who cannot see it, and for who wants the answer first."""

from collections.abc import Iterator

from django.utils.translation import gettext, ngettext

from scoring.pages import chart_bands, chart_parts, chart_units, choices, labels
from scoring.pages.chart_parts import Told
from scoring.queries import wording
from scoring.queries.chart import Chart
from scoring.queries.trend import SCORE, WEIGHT, TrendCard
from scoring.rules import chart_ahead
from yards.pages import words
from yards.rules import bidi


def title(chart: Chart, name: str, zone: str) -> str:
    """Return what the drawing is of."""
    told = gettext("Overall score and weight of {name}, {first} to {last}")
    first, last = (words.day(each, zone) for each in (chart.window.first, chart.window.until))
    return told.format(name=bidi.isolated(name), first=first, last=last)


def said(chart: Chart, score: Told, weight: Told, zone: str) -> list[str]:
    """Return what a person sees: latest, line, band, rate, weight, gaps, what is to come."""
    return [
        *_score(chart, score, zone),
        *_weight(chart, weight, zone),
        *_gaps(chart, score, zone),
        *_ahead(score),
        *_marks(chart),
    ]


def _score(chart: Chart, told: Told, zone: str) -> Iterator[str]:
    card = chart.trends[SCORE]
    if not card.points:
        yield gettext("No score in this time.")
        return
    last = next((each for each in reversed(card.points) if each.used), card.points[-1])
    latest = gettext("Latest score {value} on {day} by {name}.")
    value, day = chart_units.points_2(last.value), words.day(last.at, zone)
    yield latest.format(value=value, day=day, name=bidi.isolated(last.by))
    yield from chart_bands.said(chart, zone)
    nodes = list(told.drawn)
    if nodes:
        line = gettext("The line stands at {level}, 80% range {low} to {high}.")
        level, low, high = (chart_units.points_2(each) for each in nodes[-1][1:4])
        yield line.format(level=level, low=low, high=high)
    if chart.window.is_now:
        yield _rate(card, gettext("Now {rate} points a month, 80% range {low} to {high}: {said}."))


def _rate(card: TrendCard, told: str, times: float = 1.0, unit: str = "") -> str:
    if card.rate is None:
        return gettext("{reason}.").format(reason=wording.say(card.reason).rstrip("."))
    rate, low, high = (each * times for each in card.rate)
    level = low <= 0 <= high
    return told.format(
        rate=chart_units.signed(rate),
        low=chart_units.signed(low),
        high=chart_units.signed(high),
        said=labels.rate(rate, level),
        unit=unit,
    )


def _weight(chart: Chart, told: Told, zone: str) -> Iterator[str]:
    card, factor = chart.trends[WEIGHT], chart_units.times(WEIGHT)
    if not card.points:
        yield gettext("Not weighed in this time.")
        return
    last = card.points[-1]
    latest = gettext("Latest weight {value} on {day}, {method}.")
    value = chart_units.said(WEIGHT, last.value)
    day = words.day(last.at, zone)
    yield latest.format(value=value, day=day, method=choices.method(last.method))
    if chart.window.is_now and card.rate is not None:
        rate = gettext("Now {rate} {unit} a week, 80% range {low} to {high}: {said}.")
        yield _rate(card, rate, factor, chart_units.name(WEIGHT))


def _gaps(chart: Chart, told: Told, zone: str) -> Iterator[str]:
    for since, until in chart_parts.seen_gaps(told, chart.window):
        gap = gettext("No line from {first} to {last}: {days} days without a score.")
        first, last = words.day(since, zone), words.day(until, zone)
        yield gap.format(first=first, last=last, days=(until - since).days)


def _ahead(told: Told) -> Iterator[str]:
    if told.ahead:
        line = gettext(
            "If nothing changes the score would stand at {level} in {weeks} weeks, 80% range {low} "
            "to {high}."
        )
        level, low, high = (chart_units.points_2(each) for each in told.ahead[-1][1:4])
        yield line.format(level=level, low=low, high=high, weeks=chart_ahead.WEEKS)


def _marks(chart: Chart) -> Iterator[str]:
    many = len(chart.marks)
    if many:
        line = ngettext(
            "{many} mark, listed below the drawing.",
            "{many} marks, listed below the drawing.",
            many,
        )
        yield line.format(many=many)
