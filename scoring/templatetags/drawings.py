"""Geometry of the small drawings: the three-beam glyph, the due bar, the rate arrow, the ruler.

Pure functions from values to coordinates, in the units of each drawing's viewBox; the tags hand
them to a template that writes the SVG. Coordinates are text, so that no locale can put a comma in.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import template
from django.utils.translation import gettext, pgettext

from scoring.rules import scale as scales
from yards.templatetags.house import part

register = template.Library()

Number = Decimal | float | int

LEFT, LENGTH = 16.0, 120.0
LINES = (9.0, 22.0, 35.0)
ONLY_LINE = 22.0
HEIGHT = 44.0


def _text(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def half(value: Number | None) -> str:
    """Return a score that a hand felt as people say it: 3½, ½, 0. A dash where there is none."""
    if value is None:
        return "–"
    whole, rest = divmod(Decimal(str(value)), 1)
    if rest not in (Decimal(0), Decimal("0.5")):
        return f"{Decimal(str(value)).normalize():f}"
    return (f"{whole:f}" if whole or not rest else "") + ("½" if rest else "")


def span(scale: str) -> tuple[int, int]:
    """Return the first and last whole mark of a scale."""
    found = scales.of(scale)
    return found.low // 2, found.high // 2


def along(value: Number, scale: str) -> float:
    """Return the x of a score on its scale's beam, never off the beam."""
    low, high = span(scale)
    share = (float(value) - low) / (high - low)
    return LEFT + LENGTH * min(1.0, max(0.0, share))


@dataclass(frozen=True, slots=True)
class Beam:
    """One line of the glyph: its letter, where its point lies, and whether it is the fattest."""

    letter: str
    name: str
    y: str
    letter_y: str
    x: str | None
    fattest: bool


@dataclass(frozen=True, slots=True)
class Band:
    """The target band behind the beams."""

    x: str
    width: str
    end: str


@dataclass(frozen=True, slots=True)
class Glyph:
    """Everything the glyph's template draws, and the words that say the same."""

    beams: tuple[Beam, ...]
    ticks: str
    band: Band | None
    words: str


def names() -> dict[str, tuple[str, str]]:
    """Return letter and name of each region, in the reader's language."""
    return {
        "neck_and_shoulder": (
            pgettext("letter of neck and shoulder", "N"),
            gettext("neck and shoulder"),
        ),
        "back_and_ribs": (pgettext("letter of back and ribs", "B"), gettext("back and ribs")),
        "hindquarters": (pgettext("letter of hindquarters", "H"), gettext("hindquarters")),
    }


def _ticks(scale: str, lines: Sequence[float]) -> str:
    low, high = span(scale)
    parts = []
    for y in lines:
        parts += [f"M{_text(along(mark, scale))} {_text(y - 3)}v6" for mark in range(low, high + 1)]
        parts += [
            f"M{_text(along(mark + 0.5, scale))} {_text(y - 1.5)}v3" for mark in range(low, high)
        ]
        parts.append(f"M{_text(LEFT)} {_text(y)}h{_text(LENGTH)}")
    return "".join(parts)


def _beam(letter: str, name: str, y: float, x: float | None, fattest: bool) -> Beam:
    return Beam(letter, name, _text(y), _text(y + 4), None if x is None else _text(x), fattest)


def _band(scale: str, low: Number | None, high: Number | None) -> Band | None:
    if low is None or high is None:
        return None
    start, end = along(low, scale), along(high, scale)
    return Band(_text(start), _text(end - start), _text(end))


def _words(said: Sequence[tuple[str, Number | None]], fattest: str | None) -> str:
    parts = [
        f"{name} {half(value)}" if value is not None else gettext("%s no score") % name
        for name, value in said
    ]
    text = "; ".join(parts) + "."
    return text if fattest is None else text + " " + gettext("Fattest: %s.") % fattest


def three_beams(
    regions: Mapping[str, Number | None],
    fattest: Sequence[str] = (),
    low: Number | None = None,
    high: Number | None = None,
) -> Glyph:
    """Return the glyph of three regions on the 0 to 5 scale.

    A region without a score keeps its empty beam. Only a single fattest region is marked: a tie
    has no diamond.
    """
    single = fattest[0] if len(fattest) == 1 else None
    beams, said = [], []
    for key, y in zip(scales.REGIONS, LINES, strict=True):
        letter, name = names()[key]
        value = regions.get(key)
        x = None if value is None else along(value, "five")
        beams.append(_beam(letter, name, y, x, key == single))
        said.append((name, value))
    words = _words(said, names()[single][1] if single else None)
    return Glyph(tuple(beams), _ticks("five", LINES), _band("five", low, high), words)


def one_beam(
    scale: str, value: Number | None, low: Number | None = None, high: Number | None = None
) -> Glyph:
    """Return the glyph of one whole-animal score on the nine-point or the donkey scale."""
    name = gettext("whole animal")
    x = None if value is None else along(value, scale)
    beam = _beam("", name, ONLY_LINE, x, False)
    ticks = _ticks(scale, (ONLY_LINE,))
    return Glyph((beam,), ticks, _band(scale, low, high), _words([(name, value)], None))


# The due bar: a line of time with a tick where the assessment falls due, filled as time is used.
DUE_START, DUE_TICK, DUE_END = 1.0, 21.0, 29.0


def due_end(fraction: Number) -> str:
    """Return where the filled part ends: at the tick when time is used up, past it when overdue."""
    used = max(0.0, float(fraction))
    return _text(min(DUE_END, DUE_START + (DUE_TICK - DUE_START) * used))


def slope(rate_per_month: Number) -> str:
    """Return the arrow's turn in degrees, clockwise, for a rate in points a month.

    A rising score points up. Half a point a month is steep already: 40 degrees is the most.
    """
    return _text(-max(-40.0, min(40.0, float(rate_per_month) * 90)) + 0.0)


def ruler_edge(count: int) -> tuple[str, str, int]:
    """Return ticks and axis of a staggered ruler of ``count`` keys, and the drawing's width.

    Keys are 60 wide and start every 30; wholes hang from above, halves stand from below.
    """
    ticks = "".join(f"M{30 + 30 * i} {0 if i % 2 == 0 else 11}v15" for i in range(count))
    width = 30 * (count + 1)
    return ticks, f"M30 13H{width - 30}", width


register.filter("half", half)


@register.inclusion_tag("scoring/parts/beams.html")
def beams(row: Any, wide: bool = False) -> dict[str, Any]:
    """Draw a row's glyph: three regions, or one beam for a whole-animal scale."""
    band = part(row, "band")
    low, high = (part(band, "low"), part(band, "high")) if band else (None, None)
    scale = part(row, "scale")
    if scale == "five":
        regions = part(row, "regions_used") or part(row, "regions") or {}
        values = {key: part(regions, key) for key in scales.REGIONS}
        glyph = three_beams(values, part(row, "fattest") or (), low, high)
    else:  # one score for the whole animal, and no mean of anything
        glyph = one_beam(scale, part(row, "overall"), low, high)
    words = glyph.words
    if low is not None and high is not None:
        words += " " + gettext("Target band %(low)s to %(high)s.") % {
            "low": half(low),
            "high": half(high),
        }
    return {"glyph": glyph, "words": words[:1].upper() + words[1:], "wide": wide}


@register.inclusion_tag("scoring/parts/due.html")
def due_bar(due: Any) -> dict[str, Any]:
    """Draw the bar of time used up until the next assessment."""
    fraction = part(due, "fraction")
    return {"end": None if fraction is None else due_end(fraction)}


@register.inclusion_tag("scoring/parts/slope.html")
def rate_arrow(rate: Number, level: bool = False) -> dict[str, Any]:
    """Draw the direction of a rate; dashed when its range includes zero."""
    return {"turn": slope(rate), "level": level}
