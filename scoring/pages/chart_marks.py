"""Marks on a drawing and their list in words: alerts, moves, events, vets' orders."""

from collections.abc import Sequence
from typing import NamedTuple

from django.utils.translation import gettext

from scoring.pages.chart_parts import Box, Drawing
from scoring.queries import chart_marks as queries
from scoring.queries import wording
from scoring.queries.chart_marks import Mark
from scoring.rules import chart_lane
from scoring.rules.chart_path import number
from scoring.rules.chart_scale import Scale
from yards.pages import words

_HIGH = 16.0
# The point of a move stands out so far to the right of its box.
_POINT = 6.0


class Line(NamedTuple):
    """One mark in words: its number, its day, what happened."""

    number: int
    css: str
    on: str
    what: str


def listed(marks: Sequence[Mark], zone: str) -> list[Line]:
    """Return the marks in words, numbered by time as they are on the drawing."""
    return [
        Line(place, _css(each.kind), words.day(each.at, zone), said(each))
        for place, each in enumerate(marks, 1)
    ]


def said(mark: Mark) -> str:
    """Return what a mark says."""
    if mark.kind == queries.ALERT:
        return gettext("Alert: {title}").format(title=wording.title(mark.key))
    if mark.kind == queries.MOVE:
        return gettext("To {yard}").format(yard=mark.key)
    what = gettext("Vet's order") if mark.kind == queries.ORDER else words.event_kind(mark.key)
    if not mark.detail:
        return what
    return gettext("{what}: {detail}").format(what=what, detail=mark.detail)


def _css(kind: str) -> str:
    """Return how a mark is drawn: an alert solid, all else an outline."""
    return {queries.ALERT: "al", queries.MOVE: "mv"}.get(kind, "ev")


def drawn(
    drawing: Drawing,
    marks: Sequence[Mark],
    along: Scale,
    rows: tuple[float, float],
) -> None:
    """Draw the marks in two rows, alerts above; those that would cover each other share one."""
    for y, upper in zip(rows, (True, False), strict=True):
        held = [
            (place, each)
            for place, each in enumerate(marks, 1)
            if (each.kind == queries.ALERT) == upper
        ]
        places = [place for place, _ in held]
        across = [along.at(each.at.timestamp()) for _, each in held]

        def wide(mark: chart_lane.Mark, places: Sequence[int] = places) -> float:
            return 8.0 + 7.2 * len(_label(places, mark)) + _POINT

        for mark in chart_lane.laid(across, wide, along.end):
            kinds = {_css(each.kind) for _, each in held[mark.first - 1 : mark.last]}
            css = kinds.pop() if len(kinds) == 1 else "ev"
            start = chart_lane.left(mark, wide, along.end)
            drawing.boxes.append(
                _box(css, mark.x, y, (start, start + wide(mark) - _POINT), _label(places, mark))
            )


def _label(places: Sequence[int], mark: chart_lane.Mark) -> str:
    first, more = places[mark.first - 1], mark.last - mark.first
    return f"{first}+{more}" if more else str(first)


def _box(css: str, x: float, y: float, sides: tuple[float, float], label: str) -> Box:
    """Return a mark whose stem stands at its time, and whose box stays inside the drawing."""
    (left, right), top, bottom = sides, y - _HIGH / 2, y + _HIGH / 2
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    if css == "mv":
        corners.insert(2, (right + _POINT, y))
    outline = "M" + "L".join(f"{number(px)} {number(py)}" for px, py in corners) + "Z"
    stem = f"M{number(x)} {number(top - 3)}V{number(bottom + 3)}"
    return Box(outline + stem, css, number((left + right) / 2), number(y + 4.4), label)
