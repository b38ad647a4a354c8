"""What a drawing is made of on its way to a template: paths, points, words, numbered marks."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from django.utils.formats import date_format
from django.utils.translation import gettext

from scoring.queries.trend import TrendCard
from scoring.rules import chart_line, chart_path, chart_shape, chart_thin, chart_time
from scoring.rules.chart_line import Node
from scoring.rules.chart_plot import Edges, Frame
from scoring.rules.chart_scale import Scale
from scoring.rules.chart_window import Window
from yards.rules import daytime


class Path(NamedTuple):
    """Path data, its class, and what it says to who rests a pointer on it."""

    d: str
    css: str
    said: str = ""


class Label(NamedTuple):
    """Words at a place."""

    x: str
    y: str
    text: str
    css: str


class Box(NamedTuple):
    """A numbered mark: its shape, its class, its number, and where that stands."""

    d: str
    css: str
    x: str
    y: str
    label: str


class Dot(NamedTuple):
    """One reading on a plot, in the plot's unit: its shape, whisker, and its words if drawn."""

    at: datetime
    value: float
    shape: str
    said: Callable[[], str] = str
    low: float | None = None
    high: float | None = None


@dataclass(slots=True)
class Drawing:
    """One SVG. ``meta`` are numbers for scripts that pan and for tests that measure."""

    name: str
    width: int
    height: int
    paths: list[Path] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    meta: Mapping[str, str] = field(default_factory=dict)

    def draw(self, css: str, d: str, said: str = "") -> None:
        """Add a path, if there is any."""
        if d:
            self.paths.append(Path(d, css, said))

    def write(self, x: float, y: float, text: str, css: str) -> None:
        """Add words."""
        self.labels.append(Label(chart_path.number(x), chart_path.number(y), text, css))


@dataclass(frozen=True, slots=True)
class Told:
    """A measure as it is drawn: the pieces of its line, its gaps, and how it would go on."""

    runs: tuple[list[Node], ...]
    gaps: tuple[chart_line.Gap, ...]
    ahead: tuple[Node, ...]

    @property
    def drawn(self) -> Iterator[Node]:
        """Every node of the line that is drawn, in order."""
        return (each for run in self.runs for each in run)

    @property
    def reach(self) -> Iterator[float]:
        """Every value that the axis must hold."""
        for each in (*self.drawn, *self.ahead):
            yield from (each.low, each.high)


def told(card: TrendCard, until: datetime, now: datetime, times: float = 1.0) -> Told:
    """Return how a trend is drawn up to a time; ``times`` turns its unit into the reader's."""
    gaps = tuple(chart_line.gaps(card.taken, now))
    nodes = [
        Node(each.at, each.level * times, each.low * times, each.high * times, each.baseline)
        for each in card.smoothed
        if each.at <= until
    ]
    last = nodes[-1].baseline if nodes else 0
    ahead = tuple(
        Node(each.at, each.level * times, each.low * times, each.high * times, last)
        for each in card.ahead
    )
    if until < now or not nodes or (gaps and gaps[-1].until is None):
        ahead = ()
    if ahead and nodes[-1].at < ahead[0].at:
        nodes.append(ahead[0])
    return Told(tuple(chart_line.runs(nodes, gaps)), gaps, ahead)


def edges(card: TrendCard, zone: str) -> list[Edges]:
    """Return the band of a trend by its instants; each day's holds from six in the morning."""
    return [
        Edges(
            daytime.at_local(each.on, daytime.SIX, zone),
            float(each.low),
            float(each.aim),
            float(each.high),
        )
        for each in card.band
    ]


def dots(drawing: Drawing, frame: Frame, found: Sequence[Dot], size: float) -> None:
    """Draw points with their whiskers, thinned by the pixel, the unsure ones undermost."""
    spots = [frame.spot(each.at, each.value) for each in found]
    kept = chart_thin.kept([each.x for each in spots], [each.y for each in spots])
    for place in kept:
        each, spot = found[place], spots[place]
        if each.low is not None and each.high is not None:
            ends = (frame.spot(each.at, each.low), frame.spot(each.at, each.high))
            drawing.draw("wh", chart_path.line(ends))
        css = "o" if each.shape in chart_shape.OPEN else "p"
        drawing.draw(css, chart_shape.path(each.shape, spot.x, spot.y, size), each.said())


def months(
    drawing: Drawing,
    along: Scale,
    ticks: Iterable[chart_time.Tick],
    spans: Iterable[tuple[float, float]],
    y: float,
) -> None:
    """Draw the months: a hairline through each plot, and the name below, years in heavy ink."""
    found = list(ticks)
    for top, bottom in spans:
        lines = ((chart_path.Spot(x, top), chart_path.Spot(x, bottom)) for _, x in found)
        drawing.draw("mg", "".join(chart_path.line(each) for each in lines))
    for each in found:
        # A name in the middle of its mark must not run over the drawing's side.
        x = min(max(each.x, 14.0), drawing.width - 16.0)
        drawing.write(x, y, _month(each), "ax m yr" if each.is_year else "ax m")


def _month(tick: chart_time.Tick) -> str:
    return date_format(tick.on, "Y" if tick.is_year else "M")


def span(low: str, high: str) -> str:
    """Return two ends in words."""
    return gettext("{low} to {high}").format(low=low, high=high)


def within(found: Sequence[Edges], window: Window) -> list[Edges]:
    """Return a band's edges at times that a window holds; it begins with those that held then."""
    held = max((place for place, each in enumerate(found) if each.at <= window.first), default=0)
    return [each._replace(at=min(max(each.at, window.first), window.last)) for each in found[held:]]


def seen_gaps(found: Told, window: Window) -> list[tuple[datetime, datetime]]:
    """Return the gaps of a line that a window shows, whole, as long as they last up to its end."""
    return [
        (each.since, each.until or window.until)
        for each in found.gaps
        if each.since < window.until and (each.until or window.until) > window.first
    ]
