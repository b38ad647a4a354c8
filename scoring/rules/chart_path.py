"""Lines, areas and steps as the path data of SVG 1.1, to a tenth of a pixel."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple


class Spot(NamedTuple):
    """A place on a drawing."""

    x: float
    y: float


def number(value: float) -> str:
    """Return a coordinate, to a tenth."""
    told = f"{value:.1f}"
    return told.removesuffix(".0") if told != "-0.0" else "0"


def line(spots: Iterable[Spot]) -> str:
    """Return a line through spots; nothing for fewer than two."""
    told = [f"{number(each.x)} {number(each.y)}" for each in spots]
    return "M" + "L".join(told) if len(told) > 1 else ""


def area(upper: Sequence[Spot], lower: Sequence[Spot]) -> str:
    """Return what lies between two lines over the same stretch; nothing for less than a line."""
    edge = line([*upper, *reversed(lower)])
    return f"{edge}Z" if len(upper) > 1 else ""


def steps(spots: Sequence[Spot], end: float) -> list[Spot]:
    """Return spots as stairs: each level holds until the next begins, the last until ``end``."""
    found: list[Spot] = []
    for each in spots:
        if found and found[-1].y != each.y:
            found.append(Spot(each.x, found[-1].y))
        if not found or found[-1].y != each.y:
            found.append(each)
    if found:
        found.append(Spot(end, found[-1].y))
    return found
