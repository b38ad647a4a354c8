"""The herd's drawings: a cell of the strip, shares by month, bars by half points from the band."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from django.utils.translation import gettext

from scoring.pages import herd_words, labels
from scoring.rules import herd_months, herd_place, herd_plot, herd_share, herd_step
from scoring.rules.herd_months import Month

WIDE, NARROW = 760.0, 360.0
# So wide a column has room for a month's name of three letters.
_ROOM = 26.0


class Path(NamedTuple):
    """Path data and its class."""

    css: str
    d: str


class Label(NamedTuple):
    """A text, where it stands, and its class."""

    css: str
    x: str
    y: str
    text: str


class Row(NamedTuple):
    """One plot of shares: its title, its sign, and a count of how many for each column."""

    title: str
    sign: str
    counts: Sequence[tuple[int, int]]


@dataclass(frozen=True)
class Drawing:
    """An SVG as the template writes it; ``said`` is told instead of it."""

    name: str
    width: float
    height: float
    said: str
    paths: list[Path] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)

    def text(self, css: str, x: float, y: float, text: str) -> None:
        """Put a text into it."""
        self.labels.append(Label(css, f"{x:.1f}", f"{y:.1f}", text))

    def path(self, css: str, d: str) -> None:
        """Put a path into it, if there is any of it."""
        if d:
            self.paths.append(Path(css, d))


def key() -> list[dict[str, str]]:
    """Return the signs of the strip with their words."""
    return [{"letter": letter, "said": said} for letter, said in herd_words.key()]


def cells() -> dict[str, str]:
    """Return the path of each place in a cell of the strip."""
    return {letter: herd_plot.cell(letter) for letter in herd_place.PLACES}


def shares(
    months: Sequence[Month], rows: Sequence[Row], totals: Sequence[tuple[int, int]], said: str
) -> list[Drawing]:
    """Return shares by month in two widths: a plot for each row, and below it how many there were.

    ``totals`` are two counts of each month, the first solid and the second striped upon it.
    """
    last = herd_plot.panel(len(rows), herd_plot.nice(max(map(sum, totals), default=1)))
    made = []
    for name, width in (("wide", WIDE), ("nar", NARROW)):
        along = herd_plot.frame(width, len(months))
        drawing = Drawing(name, width, last.bottom + 40, said)
        for number, row in enumerate(rows):
            _row(drawing, along, herd_plot.panel(number, 1.0), row)
        _totals(drawing, along, last, totals)
        _months(drawing, along, last.bottom + 16, months)
        made.append(drawing)
    return made


def _row(drawing: Drawing, along: herd_plot.Frame, up: herd_plot.Panel, row: Row) -> None:
    drawing.text("hd", along.left, up.top - 8, row.title)
    for value in (0.0, 0.5, 1.0):
        drawing.path("mg", f"M{along.left:g} {up.y(value):.1f}H{along.right:g}")
        drawing.text("ax e", along.left - 6, up.y(value) + 4, f"{value:.0%}")
    told = [herd_share.share(*each) for each in row.counts]
    for mark in herd_plot.marks(along, up, told):
        if mark is not None:
            drawing.path("wh", f"M{mark.x:.1f} {mark.top:.1f}V{mark.bottom:.1f}")
            drawing.path(f"pt {row.sign}", _sign(row.sign, mark.x, mark.y))
    for column, (_, known) in enumerate(row.counts):
        if 0 < known < herd_share.FEWEST:
            drawing.path("few", f"M{along.x(column) - 3:.1f} {up.bottom - 3:.1f}h6v-6h-6Z")


def _sign(sign: str, x: float, y: float) -> str:
    if sign == herd_place.ABOVE:
        return f"M{x:.1f} {y - 5:.1f}L{x + 5:.1f} {y + 4:.1f}H{x - 5:.1f}Z"
    if sign == herd_place.BELOW:
        return f"M{x:.1f} {y + 5:.1f}L{x + 5:.1f} {y - 4:.1f}H{x - 5:.1f}Z"
    return f"M{x - 4.5:.1f} {y:.1f}a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0 -9 0Z"


def _totals(
    drawing: Drawing,
    along: herd_plot.Frame,
    up: herd_plot.Panel,
    totals: Sequence[tuple[int, int]],
) -> None:
    drawing.text("hd", along.left, up.top - 8, gettext("How many"))
    for value in (0.0, up.most):
        drawing.path("mg", f"M{along.left:g} {up.y(value):.1f}H{along.right:g}")
        drawing.text("ax e", along.left - 6, up.y(value) + 4, f"{value:g}")
    wide = along.width * 0.56
    for column, (solid, striped) in enumerate(totals):
        x = along.x(column)
        drawing.path("so", herd_plot.bar(x, wide, up, 0, solid))
        drawing.path("ou", herd_plot.bar(x, wide, up, solid, solid + striped))
        drawing.path("st", herd_plot.stripes(x, wide, up, solid, solid + striped))


def _months(drawing: Drawing, along: herd_plot.Frame, y: float, months: Sequence[Month]) -> None:
    for column, each in enumerate(months):
        said = herd_words.month_name(each)
        drawing.text("ax m", along.x(column), y, said if along.width >= _ROOM else said[:1])
        if herd_months.shows_year(tuple(months), column):
            drawing.text("yr m", along.x(column), y + 17, str(each.year))


def steps(this: Mapping[int, int], last: Mapping[int, int], said: str) -> Drawing:
    """Return counts by half points from the band: the year before striped, the latest solid."""
    bins = sorted({*this, *last})
    bins = list(range(bins[0], bins[-1] + 1))
    along = herd_plot.frame(herd_plot.LEFT + herd_plot.RIGHT + 64 * len(bins), len(bins))
    most = herd_plot.nice(max([*this.values(), *last.values(), 1]))
    up = herd_plot.Panel(herd_plot.TOP, herd_plot.TOP + herd_plot.STEM, most)
    drawing = Drawing("step", along.right + herd_plot.RIGHT, up.bottom + 42, said)
    left = along.left + along.width * bins.index(0)
    drawing.path("band", f"M{left:.1f} {up.top:g}h{along.width:.1f}V{up.bottom:g}H{left:.1f}Z")
    for edge in (left, left + along.width):
        drawing.path("bedge", f"M{edge:.1f} {up.top:g}V{up.bottom:g}")
    for value in (0, most):
        drawing.path("mg", f"M{along.left:g} {up.y(value):.1f}H{along.right:g}")
        drawing.text("ax e", along.left - 6, up.y(value) + 4, str(value))
    for column, step in enumerate(bins):
        _pair(drawing, up, along.x(column), last.get(step, 0), this.get(step, 0))
        drawing.text("ax m", along.x(column), up.bottom + 17, _short(step))
    if bins[0] < 0:
        drawing.text("ax", along.left, up.bottom + 35, gettext("points below"))
    drawing.text("ax e", along.right, up.bottom + 35, gettext("points above"))
    return drawing


def _pair(drawing: Drawing, up: herd_plot.Panel, x: float, last: int, this: int) -> None:
    drawing.path("ou", herd_plot.bar(x - 13, 22, up, 0, last))
    drawing.path("st", herd_plot.stripes(x - 13, 22, up, 0, last))
    drawing.text("nu m", x - 13, up.y(last) - 4, str(last))
    drawing.path("so", herd_plot.bar(x + 13, 22, up, 0, this))
    drawing.text("nu m", x + 13, up.y(this) - 4, str(this))


def _short(step: int) -> str:
    if not step:
        return gettext("in band")
    sign = "−" if step < 0 else "+"
    return sign + labels.written(abs(step))


def step_words(step: int) -> str:
    """Return how far from the band a bin lies, in words."""
    if not step:
        return gettext("within the band")
    far = labels.written(abs(step))
    if abs(step) == herd_step.MOST:
        told = gettext("{n} points or more above"), gettext("{n} points or more below")
    elif abs(step) <= 2:
        told = gettext("{n} point above"), gettext("{n} point below")
    else:
        told = gettext("{n} points above"), gettext("{n} points below")
    return told[step < 0].format(n=far)
