"""The shapes of points: one for each hand, and one for each way of weighing; never by colour.

A shape is centred on its point, and an open one is told from a filled one by its class. Path data
of SVG 1.1.
"""

import math
from collections.abc import Callable, Iterable, Mapping

from scoring.rules.chart_path import number

VET, SEEN, OTHERS = "triangle", "diamond", "flag"
# For hands that are no vet's, in the order in which they first took a reading of the animal.
HANDS = ("circle", "square", "pentagon", "plus", "cross", "hexagon", "bar")
TAPE, BRIDGE, FORMULA, GUESS = "ring", "weight", "box", "wedge"
OPEN = frozenset({SEEN, TAPE, FORMULA, GUESS})
METHODS: Mapping[str, str] = {
    "weigh_tape": TAPE,
    "weighbridge": BRIDGE,
    "formula": FORMULA,
    "estimate": GUESS,
}
# What a tape repeats within, in kilograms: the whisker of a taped weight. Never an accuracy.
TAPE_REPEATS_KG = 10.0


def path(name: str, x: float, y: float, size: float) -> str:
    """Return a shape round a point; ``size`` is half its width, or near it."""
    return _SHAPES[name](x, y, size)


def of_hands(hands: Iterable[tuple[str, bool]]) -> dict[str, str]:
    """Return the shape of each hand, by its key, in the order given; vets share the triangle.

    When shapes run out the rest share one, which the key beside the drawing names.
    """
    found: dict[str, str] = {}
    free = list(HANDS)
    for key, is_vet in hands:
        if key not in found:
            found[key] = VET if is_vet else (free.pop(0) if free else OTHERS)
    return found


def _round(x: float, y: float, size: float) -> str:
    told = number(size)
    across = number(2 * size)
    arc = f"a{told} {told} 0 1 0"
    return f"M{number(x - size)} {number(y)}{arc} {across} 0{arc} -{across} 0Z"


def _corners(*offsets: tuple[float, float]) -> Callable[[float, float, float], str]:
    def drawn(x: float, y: float, size: float) -> str:
        told = (f"{number(x + dx * size)} {number(y + dy * size)}" for dx, dy in offsets)
        return "M" + "L".join(told) + "Z"

    return drawn


def _regular(corners: int) -> Callable[[float, float, float], str]:
    turns = (2 * math.pi * each / corners - math.pi / 2 for each in range(corners))
    return _corners(*((1.1 * math.cos(turn), 1.1 * math.sin(turn)) for turn in turns))


_PLUS = (
    *((-0.35, -1.1), (0.35, -1.1), (0.35, -0.35), (1.1, -0.35), (1.1, 0.35), (0.35, 0.35)),
    *((0.35, 1.1), (-0.35, 1.1), (-0.35, 0.35), (-1.1, 0.35), (-1.1, -0.35), (-0.35, -0.35)),
)
_TURN = math.sqrt(0.5)
_SHAPES: Mapping[str, Callable[[float, float, float], str]] = {
    "circle": _round,
    "ring": _round,
    "square": _corners((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)),
    "box": _corners((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)),
    # Set so that about as much of it lies above the point as below.
    "triangle": _corners((0.0, -1.4), (1.25, 0.8), (-1.25, 0.8)),
    "wedge": _corners((0.0, 1.4), (-1.25, -0.8), (1.25, -0.8)),
    "diamond": _corners((0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)),
    "pentagon": _regular(5),
    "hexagon": _regular(6),
    "plus": _corners(*_PLUS),
    "cross": _corners(*((_TURN * (dx - dy), _TURN * (dx + dy)) for dx, dy in _PLUS)),
    "bar": _corners((-0.5, -1.3), (0.5, -1.3), (0.5, 1.3), (-0.5, 1.3)),
    "weight": _corners((-0.7, -1.0), (0.7, -1.0), (1.2, 1.0), (-1.2, 1.0)),
    "flag": _corners((-1.0, -1.1), (1.1, -0.4), (-1.0, 0.4)),
}
