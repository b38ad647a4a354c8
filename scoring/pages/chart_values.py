"""The rows behind a drawing: each reading with the line's level then, and as plain values."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from uuid import UUID
from zoneinfo import ZoneInfo

from django.urls import reverse
from django.utils.translation import gettext

from scoring.pages import chart_bands, chart_units, choices, labels
from scoring.queries import trend, wording
from scoring.queries.chart import Chart
from scoring.queries.chart_readings import Score, Weight
from scoring.queries.trend import SCORE, WEIGHT
from scoring.rules import reading, scale
from yards.pages import words
from yards.pages.tables import Cell, Row, Table

_NONE = "–"
_Line = dict[datetime, trend.Smoothed]


def rows(chart: Chart, zone: str) -> list[Row]:
    """Return every reading of the window, newest first; what was put right is struck."""
    drawn = {each.id for each in chart.trends[SCORE].points}
    lines = {measure: _line(chart, measure) for measure in (SCORE, WEIGHT)}
    found: list[tuple[datetime, Row]] = []
    for each in chart.scores:
        if chart.seen(each.at):
            row = _score(each, lines[SCORE], each.id in drawn, zone)
            band = Cell(chart_bands.on(chart, each.at, zone) if each.id in drawn else _NONE)
            found.append((each.at, replace(row, cells=(*row.cells, band))))
    for weight in chart.weights:
        if chart.seen(weight.at):
            row = _weight(weight, lines[WEIGHT], zone)
            found.append((weight.at, replace(row, cells=(*row.cells, Cell(_NONE)))))
    return [row for _, row in sorted(found, key=lambda each: each[0], reverse=True)]


def table(found: Sequence[Row]) -> Table:
    """Return the table of them."""
    return Table(
        caption=gettext("Every value of the drawing"),
        columns=(
            gettext("When"),
            gettext("Value"),
            gettext("Neck, back, hindquarters"),
            gettext("How"),
            gettext("By"),
            gettext("The line then, 80% range"),
            gettext("Target band then"),
        ),
        rows=found,
        empty=gettext("No readings in this time"),
    )


def _line(chart: Chart, measure: str) -> _Line:
    return {each.at: each for each in chart.trends[measure].smoothed}


def _score(found: Score, line: _Line, drawn: bool, zone: str) -> Row:
    value = gettext("not safe to feel") if found.overall is None else _points(found)
    crest = gettext("crest {half}").format(half=_half(found.crest)) if found.crest else ""
    return Row(
        (
            _when(found, reverse("scoring:scored", args=[found.id]), zone),
            Cell(value, crest),
            Cell(_regions(found) or _NONE, _pocket(found)),
            Cell(_manner(found), "" if drawn or found.over else gettext("on another scale")),
            Cell(found.by),
            Cell(_level(line.get(found.at), SCORE) if found.used else _NONE),
        ),
        struck=found.over,
    )


def _points(found: Score) -> str:
    told = chart_units.points_2(found.overall or 0)
    return f"{told} {choices.short_scale(found.scale)}"


def _weight(found: Weight, line: _Line, zone: str) -> Row:
    girths = ", ".join(
        f"{_girth(measure)} {chart_units.said(measure, cm)}" for measure, cm in found.girths.items()
    )
    return Row(
        (
            _when(found, reverse("scoring:weighed", args=[found.id]), zone),
            Cell(chart_units.said(WEIGHT, found.kg), girths),
            Cell(_NONE),
            Cell(choices.method(found.method), found.instrument),
            Cell(found.by),
            Cell(_NONE if found.over else _level(line.get(found.at), WEIGHT)),
        ),
        struck=found.over,
    )


def _girth(measure: str) -> str:
    return {
        trend.HEART_GIRTH: gettext("heart girth"),
        trend.BELLY_GIRTH: gettext("belly girth"),
    }[measure]


def _when(found: Score | Weight, address: str, zone: str) -> Cell:
    beside = ""
    if found.over:
        beside = gettext("Corrected: no longer counts")
    elif found.corrects:
        beside = labels.correction(found.corrected_by, found.reason)
    return Cell(words.at(found.at, zone), beside, address)


def _manner(found: Score) -> str:
    if found.manner == reading.PALPATED:
        return gettext("felt by hand")
    return gettext("seen only, not used in the trend")


def _half(value: Decimal | None) -> str:
    return gettext("not safe") if value is None else labels.written(int(value * 2))


def _regions(found: Score) -> str:
    return ", ".join(_half(found.felt[name]) for name in scale.REGIONS) if found.felt else ""


def _pocket(found: Score) -> str:
    if found.pocket != scale.MARKED:
        return ""
    return gettext("fat pocket +½: {region} {half} as used").format(
        region=wording.region(scale.BACK), half=_half(found.regions.get(scale.BACK))
    )


def _level(at: trend.Smoothed | None, measure: str) -> str:
    if at is None:
        return gettext("no line: too few readings")
    level, low, high = (_figure(measure, each) for each in (at.level, at.low, at.high))
    return gettext("{level} ({low} to {high})").format(level=level, low=low, high=high)


def _figure(measure: str, value: float) -> str:
    return chart_units.points_2(value) if measure == SCORE else chart_units.said(measure, value)


def plain(chart: Chart, zone: str) -> Iterator[dict[str, str]]:
    """Yield every reading as plain values, oldest first, in kilograms and centimetres."""
    found: list[Score | Weight] = [*chart.scores, *chart.weights]
    for each in sorted(found, key=lambda one: (one.at, isinstance(one, Weight))):
        told = _plain_score(each) if isinstance(each, Score) else _plain_weight(each)
        at = each.at.astimezone(ZoneInfo(zone)).isoformat(timespec="seconds")
        yield {
            "reading": "score" if isinstance(each, Score) else "weight",
            "id": _id(each.id),
            "at": at,
            "time_zone": zone,
            "by": each.by,
            **told,
            "corrected_since": _yes(each.over),
            "is_correction": _yes(each.corrects),
            "corrected_by": each.corrected_by,
            "reason": each.reason,
        }


def _id(ref: UUID) -> str:
    return str(ref)


def _yes(told: bool) -> str:
    return "yes" if told else "no"


def _plain_score(found: Score) -> dict[str, str]:
    return {
        "method": found.manner,
        "scale": found.scale,
        **{name: _number(value) for name, value in found.felt.items()},
        "fat_pocket": found.pocket,
        "overall": _number(found.overall),
        "crest": _number(found.crest),
        "in_the_trend": _yes(found.used),
        "note": found.note,
    }


def _plain_weight(found: Weight) -> dict[str, str]:
    return {
        "method": found.method,
        "weight_kg": _number(found.kg),
        "likely_error_kg": _number(found.error_kg),
        "instrument": found.instrument,
        "in_the_trend": _yes(not found.over),
        **{f"{measure}_cm": _number(cm) for measure, cm in found.girths.items()},
    }


def _number(value: Decimal | None) -> str:
    return "" if value is None else str(value)
