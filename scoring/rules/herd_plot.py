"""Geometry of the herd's drawings, in units of their viewBox: pure functions of values.

A cell of the strip has three lanes: above the band, the band, below it. A share stands over its
month, at its height; a bar over its step, as high as its count.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from scoring.rules import herd_place
from scoring.rules.herd_share import Share

# One cell of the strip: its side, and the edges of the band's lane.
SIDE, BAND_TOP, BAND_BOTTOM = 24.0, 8.0, 16.0
_LANES: Mapping[str, tuple[float, float]] = {
    herd_place.ABOVE: (1.0, BAND_TOP - 1),
    herd_place.WITHIN: (BAND_TOP + 2.5, BAND_BOTTOM - 2.5),
    herd_place.BELOW: (BAND_BOTTOM + 1, SIDE - 1),
}
# Left of the drawing stand its numbers.
LEFT, RIGHT, TOP = 44.0, 8.0, 22.0
PANEL, GAP = 76.0, 30.0
STEM = 120.0


def lane(letter: str) -> tuple[float, float]:
    """Return the top and the bottom of what is inked for a place, in a cell."""
    return _LANES[letter]


def cell(letter: str) -> str:
    """Return the path of a place: above solid, within a bar on the band, below stripes."""
    top, bottom = lane(letter)
    if letter != herd_place.BELOW:
        return f"M0 {top:g}H{SIDE:g}V{bottom:g}H0Z"
    high, step = bottom - top, 4
    return "".join(
        f"M{x:g} {bottom:g}L{x + high:g} {top:g}" for x in range(1, int(SIDE - high), step)
    )


class Frame(NamedTuple):
    """A plot's left and right, and how many columns stand in it."""

    left: float
    right: float
    columns: int

    @property
    def width(self) -> float:
        """How wide one column is."""
        return (self.right - self.left) / self.columns

    def x(self, column: int) -> float:
        """Return the middle of a column, the first being 0."""
        return self.left + self.width * (column + 0.5)


class Panel(NamedTuple):
    """The upper and the lower end of one plot, and the value at the upper one; 0 at the lower."""

    top: float
    bottom: float
    most: float

    def y(self, value: float) -> float:
        """Return how far down a value lies."""
        return self.bottom - (self.bottom - self.top) * value / self.most


class Mark(NamedTuple):
    """A share as it is drawn: where it stands, and how far its interval reaches."""

    x: float
    y: float
    top: float
    bottom: float


def frame(width: float, columns: int) -> Frame:
    """Return the columns of a drawing of some width."""
    return Frame(LEFT, width - RIGHT, max(1, columns))


def panel(number: int, most: float) -> Panel:
    """Return the plot of a place in the drawing, from the top, the first being 0."""
    top = TOP + number * (PANEL + GAP)
    return Panel(top, top + PANEL, most or 1.0)


def marks(along: Frame, up: Panel, shares: Sequence[Share | None]) -> list[Mark | None]:
    """Return where the shares of columns stand; None where there is none."""
    return [
        None
        if each is None
        else Mark(along.x(column), up.y(each.value), up.y(each.high), up.y(each.low))
        for column, each in enumerate(shares)
    ]


def bar(x: float, width: float, up: Panel, low: float, high: float) -> str:
    """Return the path of a bar about ``x`` from one value to another; nothing for no height."""
    if high <= low:
        return ""
    left, top, bottom = x - width / 2, up.y(high), up.y(low)
    return f"M{left:.1f} {bottom:.1f}V{top:.1f}H{left + width:.1f}V{bottom:.1f}Z"


def stripes(x: float, width: float, up: Panel, low: float, high: float) -> str:
    """Return the path of level stripes that fill the same bar, three units apart."""
    left, top, bottom = x - width / 2, up.y(high), up.y(low)
    lines = range(1, int((bottom - top) / 3) + 1)
    return "".join(f"M{left:.1f} {bottom - 3 * each:.1f}h{width:.1f}" for each in lines)


def nice(most: int) -> int:
    """Return a round number that is no less: 1, 2, 5 or 10 times a power of ten."""
    power = 1
    while True:
        for each in (1, 2, 5):
            if each * power >= most:
                return each * power
        power *= 10
