"""Roughly where a score on 0-5 lies on 1-9, and the other way: by description only.

No published, validated conversion was found; the scales look at different places, weigh them
differently, and fat hardly shows at the top (Dugdale et al. 2011, Equine Veterinary Journal
43:552-561). So this is a match of descriptions made here (``approximate`` in
``fixtures/scales.json``), a span and never a figure, always labelled approximate, shown beside a
score and never instead: it is not stored, not trended and meets no threshold. Donkeys' and crest
scores have none.
"""

from dataclasses import dataclass

from scoring.rules import checked, scale
from yards.rules import fixture

LABEL = "approximate"


@dataclass(frozen=True, slots=True)
class Across:
    """A span on the other scale, in half points, both ends included."""

    scale: str
    low: int
    high: int


def across(key: str, halves: int | None) -> Across | None:
    """Return the span on the other scale for a score in half points, or None where there is none.

    A half point lies between its neighbours' spans. From 1-9 to 0-5 it is the same match read
    backwards: every score whose span holds this one. Raises OutOfRange off the scale, KeyError for
    no scale of ours.
    """
    own = scale.of(key)
    one, other = fixture.load("scales")["approximate"]["between"]
    if halves is None or key not in (one, other):
        return None
    checked.within("halves", halves, own.low, own.high)
    if key == one:
        return Across(other, *_forward(halves))
    back = [each for each in scale.every_half(one) if _holds(each, halves)]
    return Across(one, min(back), max(back))


def _holds(one: int, other: int) -> bool:
    low, high = _forward(one)
    return low <= other <= high


def _forward(halves: int) -> tuple[int, int]:
    spans = {
        scale.halves(level): (scale.halves(low), scale.halves(high))
        for level, low, high in fixture.load("scales")["approximate"]["levels"]
    }
    if halves in spans:
        return spans[halves]
    return spans[halves - 1][1], spans[halves + 1][0]
