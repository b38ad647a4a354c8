"""Geometry of the board's small lines: a year of each horse, all on one scale.

Pure functions from values to coordinates in the units of the drawing's viewBox, 150 by 44. A score
on another scale than 0 to 5 is drawn by its share of its own, so that the column has one scale.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django import template
from django.template.defaultfilters import floatformat
from django.utils.translation import gettext, ngettext

from scoring.templatetags import drawings

register = template.Library()

LEFT, RIGHT, TOP, BOTTOM = 3.0, 147.0, 3.0, 41.0
# The usual ends, in points of 0 to 5; wider where a line or a band on the page must be.
LOW, HIGH = 1.5, 4.5
YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Column:
    """The ends of a column's one scale, in points of 0 to 5, and the year's last instant."""

    low: float
    high: float
    until: datetime

    def x(self, at: datetime) -> float:
        """Return where an instant of the last year lies; never off the drawing."""
        used = 1 - (self.until - at) / YEAR
        return LEFT + (RIGHT - LEFT) * min(1.0, max(0.0, used))

    def y(self, value: float, scale: str) -> float:
        """Return where a score lies, the fatter the higher."""
        share = (of_five(value, scale) - self.low) / (self.high - self.low)
        return BOTTOM - (BOTTOM - TOP) * share


@dataclass(frozen=True, slots=True)
class Spark:
    """One line as it is drawn; every part is text for an attribute of SVG."""

    band: Mapping[str, str] | None
    ribbons: tuple[str, ...]
    lines: tuple[str, ...]
    end: tuple[str, str] | None
    words: str


def of_five(value: float, scale: str) -> float:
    """Return a score as the same share of 0 to 5; of that scale itself, the score."""
    low, high = drawings.span(scale)
    return (float(value) - low) / (high - low) * 5


def column(rows: Iterable[Mapping[str, Any]], until: datetime) -> Column:
    """Return the scale that holds every line and band of the rows: whole half points."""
    held = [LOW, HIGH]
    for row in rows:
        scale, line, band = row["scale"], row["line"], row["band"]
        if band is not None:
            held += [of_five(float(each), scale) for each in (band.low, band.high)]
        for run in line.runs if line is not None else ():
            held += [of_five(each, line.scale) for at in run for each in (at.low, at.high)]
    return Column(math.floor(min(held) * 2) / 2, math.ceil(max(held) * 2) / 2, until)


def _point(x: float, y: float) -> str:
    return f"{x:.1f},{y:.1f}"


def drawn(row: Mapping[str, Any], on: Column) -> Spark:
    """Return a row's line, its interval and its band on the column's scale."""
    line, band = row["line"], row["band"]
    edges = None
    if band is not None:
        high, low = (on.y(float(each), row["scale"]) for each in (band.high, band.low))
        told = {"high": high, "low": low, "height": low - high}
        edges = {name: f"{each:.1f}" for name, each in told.items()}
    runs = line.runs if line is not None else ()
    ribbons, lines = [], []
    for run in runs:
        x = [on.x(each.at) for each in run]
        upper = [_point(at, on.y(each.high, line.scale)) for at, each in zip(x, run, strict=True)]
        lower = [_point(at, on.y(each.low, line.scale)) for at, each in zip(x, run, strict=True)]
        ribbons.append(" ".join(upper + lower[::-1]))
        lines.append(
            " ".join(
                _point(at, on.y(each.level, line.scale)) for at, each in zip(x, run, strict=True)
            )
        )
    end = None
    if runs:
        last = runs[-1][-1]
        end = f"{on.x(last.at):.1f}", f"{on.y(last.level, line.scale):.1f}"
    return Spark(edges, tuple(ribbons), tuple(lines), end, words(line))


def words(line: Any) -> str:
    """Return in words what a line shows; why there is none where there is none."""
    if line is None or not line.readings:
        return gettext("Not scored in 12 months")
    many = ngettext("{n} score in 12 months", "{n} scores in 12 months", line.readings)
    told = many.format(n=line.readings)
    if not line.runs:
        return gettext("{many}: too few for a line").format(many=told)
    first, last = line.runs[0][0], line.runs[-1][-1]
    return gettext(
        "{many}: level from {first} to {last}, at the end {low} to {high} (80% range)"
    ).format(
        many=told,
        first=_decimal(first.level),
        last=_decimal(last.level),
        low=_decimal(last.low),
        high=_decimal(last.high),
    )


def _decimal(value: float) -> str:
    return floatformat(value, 1)


@register.simple_tag
def spark_column(groups: Sequence[Mapping[str, Any]], until: datetime) -> Column:
    """Return the one scale of a page's lines."""
    return column((row for group in groups for row in group["rows"]), until)


@register.inclusion_tag("scoring/parts/board_spark.html")
def spark(row: Mapping[str, Any], on: Column) -> dict[str, Any]:
    """Draw a row's last year."""
    return {"spark": drawn(row, on)}
