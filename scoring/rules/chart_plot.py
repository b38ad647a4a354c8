"""One plot: a frame of time and values, and what is laid into it as path data."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import NamedTuple

from scoring.rules import chart_path, chart_thin
from scoring.rules.chart_line import Node
from scoring.rules.chart_path import Spot
from scoring.rules.chart_scale import Scale


class Frame(NamedTuple):
    """Time along, values upwards."""

    along: Scale
    up: Scale

    def spot(self, at: datetime, value: float) -> Spot:
        """Return where a value of a time lies."""
        return Spot(self.along.at(at.timestamp()), self.up.at(value))


class Lines(NamedTuple):
    """A line with its interval, each all its pieces in one path."""

    line: str
    ribbon: str


class Edges(NamedTuple):
    """A band's two edges and its aim at a time; edges hold until the next, the aim moves there."""

    at: datetime
    low: float
    aim: float
    high: float


class Band(NamedTuple):
    """A band as it is drawn: what it fills, its edges, and its moving aim."""

    fill: str
    edges: str
    aim: str


def lines(frame: Frame, runs: Iterable[Sequence[Node]]) -> Lines:
    """Return the pieces of a line and of its interval, thinned by the pixel."""
    pieces = [_piece(frame, run) for run in runs]
    return Lines("".join(each.line for each in pieces), "".join(each.ribbon for each in pieces))


def _piece(frame: Frame, run: Sequence[Node]) -> Lines:
    level, low, high = (
        [frame.spot(each.at, value) for each, value in zip(run, values, strict=True)]
        for values in zip(*((each.level, each.low, each.high) for each in run), strict=True)
    )
    kept = chart_thin.kept(
        [each.x for each in level], *([y for _, y in each] for each in (low, high, level))
    )
    return Lines(
        chart_path.line(level[place] for place in kept),
        chart_path.area([high[place] for place in kept], [low[place] for place in kept]),
    )


def band(frame: Frame, edges: Sequence[Edges]) -> Band:
    """Return the band over the whole of the frame; nothing without edges."""
    end = frame.along.end
    low = chart_path.steps([frame.spot(each.at, each.low) for each in edges], end)
    high = chart_path.steps([frame.spot(each.at, each.high) for each in edges], end)
    aim = [frame.spot(each.at, each.aim) for each in edges]
    return Band(
        chart_path.area(high, low),
        chart_path.line(low) + chart_path.line(high),
        chart_path.line(aim),
    )


def levels_of(edges: Sequence[Edges], until: datetime) -> list[tuple[Edges, datetime]]:
    """Return each stair of a band that begins before a time, with when it ends."""
    found: list[Edges] = []
    for each in edges:
        if each.at < until and not (found and found[-1][1::2] == each[1::2]):
            found.append(each)
    return list(zip(found, [*(each.at for each in found[1:]), until], strict=False))


def whiskers(frame: Frame, ends: Iterable[tuple[datetime, float, float]]) -> str:
    """Return an upright line from low to high at each time."""
    return "".join(
        chart_path.line((frame.spot(at, low), frame.spot(at, high))) for at, low, high in ends
    )


def levels(frame: Frame, values: Iterable[float]) -> str:
    """Return a level line from side to side at each value."""
    left, right = frame.along.start, frame.along.end
    return "".join(
        chart_path.line((Spot(left, y), Spot(right, y))) for y in map(frame.up.at, values)
    )


def uprights(across: Iterable[float], top: float, bottom: float) -> str:
    """Return an upright line at each place."""
    return "".join(chart_path.line((Spot(x, top), Spot(x, bottom))) for x in across)
