"""The key beside a drawing: each shape that is in it, in words."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from django.utils.translation import gettext

from scoring.queries.chart import Chart
from scoring.queries.chart_readings import Score, Weight
from scoring.queries.trend import SCORE, WEIGHT
from scoring.rules import chart_shape
from yards.queries import tastes
from yards.rules import bidi


class Entry(NamedTuple):
    """A shape in a box of 20 by 20, its class, and what it stands for."""

    d: str
    css: str
    words: str


def shapes(chart: Chart) -> dict[str, str]:
    """Return the shape of every hand by its key, the same in every window."""
    readings: list[Score | Weight] = [*chart.scores, *chart.weights]
    return chart_shape.of_hands((each.hand, each.is_vet) for each in readings)


def of_scores(chart: Chart) -> list[Entry]:
    """Return the hands that are seen in the window, and what an open diamond is."""
    drawn, names = shapes(chart), defaultdict[str, dict[str, None]](dict)
    for each in _felt(chart):
        names[drawn[each.hand]][each.by] = None
    found = [_entry(shape, _hands(shape, held)) for shape, held in names.items()]
    if any(not each.used for each in chart.trends[SCORE].points):
        found.append(_entry(chart_shape.SEEN, gettext("By eye, not used in the trend")))
    return found


def _felt(chart: Chart) -> Iterator[Score | Weight]:
    """Yield the readings that are drawn by the shape of their hand: scores felt, and girths."""
    shown = {each.id for each in chart.trends[SCORE].points if each.used}
    yield from (each for each in chart.scores if each.id in shown)
    for each in chart.weights:
        if each.girths and not each.over and chart.seen(each.at):
            yield each


def _hands(shape: str, names: Iterable[str]) -> str:
    said = ", ".join(bidi.isolated(each) for each in names)
    return gettext("Vet: {names}").format(names=said) if shape == chart_shape.VET else said


def of_weights(chart: Chart) -> list[Entry]:
    """Return the ways of weighing in the window."""
    used = dict.fromkeys(each.method for each in chart.trends[WEIGHT].points)
    return [_entry(chart_shape.METHODS[each], method(each)) for each in used]


def method(name: str) -> str:
    """Return what a weight's shape stands for, with how far it may be trusted."""
    ten = tastes.weight(chart_shape.TAPE_REPEATS_KG)
    return {
        "weigh_tape": gettext("Weigh tape, repeats within {ten}").format(ten=ten),
        "weighbridge": gettext("Weighbridge"),
        "formula": gettext("Girth and length by formula, with its likely error"),
        "estimate": gettext("Weight by eye, counts for little"),
    }[name]


def _entry(shape: str, words: str) -> Entry:
    css = "o" if shape in chart_shape.OPEN else "p"
    return Entry(chart_shape.path(shape, 10, 10, 5.5), css, words)
