"""What became of score and weight over a window or a year, and whether that can be said at all."""

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime, timedelta
from typing import NamedTuple

from django.utils.translation import gettext

from scoring.pages import chart_parts, chart_units
from scoring.pages.chart_parts import Told
from scoring.queries import wording
from scoring.queries.chart import A_YEAR, Chart
from scoring.queries.trend import SCORE, WEIGHT, TrendCard
from scoring.rules import chart_change, chart_line, smoothing
from scoring.rules.chart_line import Node
from scoring.rules.outlook import Span
from yards.pages import words

# How far from a day a year ago a line may be told for it.
NEAR = timedelta(days=14)


class Verdict(NamedTuple):
    """What became of a measure: the answer first, then how far and how surely, then its ends.

    ``key`` is the answer as ``chart_change.verdict`` gives it, empty where nothing is known.
    """

    what: str
    answer: str
    told: str
    ends: str = ""
    key: str = ""


class _Measure(NamedTuple):
    """How a level on a known axis is said, and a change by itself, from its filter's unit.

    ``least`` is what counts as no change, in the filter's unit; ``no`` says that it is none,
    ``less`` by reach and way that it is a change of less than that.
    """

    level: Callable[[float], str]
    size: Callable[[float], str]
    change: Callable[[Span, Node], Span]
    least: float
    no: Callable[[], str]
    less: Callable[[], dict[str, str]]


_SCORE = _Measure(
    chart_units.points_2,
    chart_units.in_points,
    lambda found, _: found,
    chart_change.LEAST_POINTS,
    lambda: gettext("No, not by half a point."),
    lambda: {
        chart_change.LESS: gettext("Yes, but by less than half a point."),
        chart_change.PERHAPS_LESS: gettext("Yes, but perhaps by less than half a point."),
    },
)


def _weight() -> _Measure:
    def said(value: float) -> str:
        return chart_units.said(WEIGHT, value / times)

    times = chart_units.times(WEIGHT)
    return _Measure(
        said,
        said,
        lambda found, first: chart_change.of_weight(found, first.level),
        chart_change.LEAST_SHARE,
        lambda: gettext("No, not by 2% of its weight."),
        lambda: {
            chart_change.LESS: gettext("Yes, but by less than 2% of its weight."),
            chart_change.PERHAPS_LESS: gettext("Yes, but perhaps by less than 2% of its weight."),
        },
    )


def changed(chart: Chart, score: Told, weight: Told, zone: str) -> list[Verdict]:
    """Return for score and weight what became of it over the window."""
    return [
        _for_what_is_known(chart, found, first, zone)
        for found, first in (
            _went(gettext("Score"), chart.trends[SCORE], score, _SCORE, zone),
            _went(gettext("Weight"), chart.trends[WEIGHT], weight, _weight(), zone),
        )
    ]


def apart(verdicts: Iterable[Verdict]) -> str:
    """Return how to hold both verdicts where they answer apart, empty where they do not."""
    if not chart_change.is_apart(*(each.key for each in verdicts)):
        return ""
    return gettext(
        "Score and weight answer apart: a hand feels fat cover alone, a weight is of muscle, gut "
        "fill and water as well. Both can be true. Go by neither alone: score and weigh again."
    )


def _for_what_is_known(chart: Chart, found: Verdict, first: Node | None, zone: str) -> Verdict:
    """Return a verdict that says so where nothing is known of the window's beginning."""
    if first is None or first.at - chart.window.first <= NEAR:
        return found
    told = gettext("Not known before {day}. Since then: {answer}")
    day = words.day(first.at, zone)
    return found._replace(answer=told.format(day=day, answer=found.answer))


def since(chart: Chart, zone: str) -> str:
    """Return what the verdicts answer: whether it has changed over the window."""
    first, until = (words.day(at, zone) for at in (chart.window.first, chart.window.until))
    if chart.window.is_now:
        return gettext("Has it really changed since {day}?").format(day=first)
    return gettext("Did it really change from {first} to {last}?").format(first=first, last=until)


def _went(
    what: str, card: TrendCard, line: Told, measure: _Measure, zone: str
) -> tuple[Verdict, Node | None]:
    """Return what became of a measure, and from which of the line's points on it is told."""
    known = _known(card)
    nodes = [each for each in line.drawn if (each.baseline, each.at) in known]
    if len(nodes) < 2:
        told = gettext("Too few readings in this time to compare.")
        return Verdict(what, gettext("Not known."), told), None
    first, last = nodes[0], nodes[-1]
    if first.baseline != last.baseline:
        return Verdict(what, gettext("Not known."), _anew(card, last.baseline, zone)), None
    found = chart_change.between(known[first.baseline, first.at], known[last.baseline, last.at])
    ends = gettext("{before} ({before_range}) on {first}, {after} ({after_range}) on {last}.")
    key = chart_change.verdict(found, measure.least)
    verdict = Verdict(
        what,
        _answer(key, found, measure),
        _how_sure(key, found, first, measure),
        ends.format(
            before=measure.level(first.level),
            before_range=_range(first, measure),
            after=measure.level(last.level),
            after_range=_range(last, measure),
            first=words.day(first.at, zone),
            last=words.day(last.at, zone),
        ),
        key,
    )
    return verdict, first


def _answer(key: str, found: Span, measure: _Measure) -> str:
    if key in (chart_change.UP, chart_change.DOWN):
        less = measure.less().get(chart_change.reach(found, measure.least))
        if less is not None:
            return less
    return {
        chart_change.UP: gettext("Yes, it has gained."),
        chart_change.DOWN: gettext("Yes, it has lost."),
        chart_change.NO: measure.no(),
        chart_change.UNSURE: gettext("Not sure."),
    }[key]


def _how_sure(key: str, found: Span, first: Node, measure: _Measure) -> str:
    """Return how far it went with its range, and how likely it went that way at all."""
    change = measure.change(found, first)
    told = gettext("{way}; {chance} that it is up at all.")
    if change.value < 0:
        told = gettext("{way}; {chance} that it is down at all.")
    return told.format(way=words.capital(_by(key, change, measure)), chance=_chance(found))


def _by(key: str, change: Span, measure: _Measure) -> str:
    if key == chart_change.NO:
        told = gettext("80% range {low} down to {high} up")
        return told.format(low=measure.size(-change.low), high=measure.size(change.high))
    return _far(change, measure)


def _chance(found: Span) -> str:
    """Return a chance, never more than is so; of less than nine in ten no more than tenths."""
    sure = chart_change.sureness(found)
    if sure < 0.9:
        return gettext("{n} in 10").format(n=int(sure * 10))
    return gettext("{n} in 100").format(n=min(99, int(sure * 100)))


_Known = Mapping[tuple[int, datetime], smoothing.Point]


def _known(card: TrendCard) -> _Known:
    """Return the points that a line is drawn through by baseline and time."""
    return {
        (number, each.at): each for number, line in enumerate(card.lines) for each in line.points
    }


def _anew(card: TrendCard, number: int, zone: str) -> str:
    begun = next(each for each in card.baselines if each.number == number)
    told = gettext("Not compared: the line begins anew on {day}. {why}")
    return told.format(day=words.day(begun.from_at, zone), why=wording.say(begun.reason))


def _way(first: Node, last: Node, then: _Known, now: _Known, measure: _Measure) -> str:
    """Return which way a level went, with its 80% range; not where that holds no change at all."""
    found = chart_change.between(then[first.baseline, first.at], now[last.baseline, last.at])
    return _far(measure.change(found, first), measure)


def _far(change: Span, measure: _Measure) -> str:
    value, low, high = change
    if low <= 0 <= high:
        told = gettext("too close to say that it changed, 80% range {low} down to {high} up")
        return told.format(low=measure.size(-low), high=measure.size(high))
    told = gettext("{size} up, 80% range {low} to {high}")
    if value < 0:
        told = gettext("{size} down, 80% range {low} to {high}")
    near, far = sorted((abs(low), abs(high)))
    size = measure.size(abs(value))
    return told.format(size=size, low=measure.size(near), high=measure.size(far))


def _range(node: Node, measure: _Measure) -> str:
    return chart_parts.span(measure.level(node.low), measure.level(node.high))


def season(chart: Chart, mine: Told, before: Told, zone: str) -> str:
    """Return how the score stands beside the same day a year ago."""
    card, known, past = chart.trends[SCORE], _known(chart.trends[SCORE]), _known(chart.year_ago)
    now = _nearest(mine.drawn, known, chart.season[1])
    then = _nearest(before.drawn, past, chart.season[1] - A_YEAR)
    if now is None:
        return gettext("No line up to now to compare.")
    if then is None:
        return gettext("No line a year ago to compare with.")
    if then.baseline != now.baseline:
        return _anew(card, now.baseline, zone)
    told = gettext("A year ago {before} ({before_range}), now {after} ({after_range}): {way}.")
    return told.format(
        before=_SCORE.level(then.level),
        before_range=_range(then, _SCORE),
        after=_SCORE.level(now.level),
        after_range=_range(now, _SCORE),
        way=_way(then, now, past, known, _SCORE),
    )


def _nearest(nodes: Iterable[Node], known: _Known, at: datetime) -> Node | None:
    held = [each for each in nodes if (each.baseline, each.at) in known]
    return chart_line.nearest(held, at, NEAR)
