"""The target band over a drawing's time, in words and as a table: each band with its own days."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils.translation import gettext

from scoring.pages import chart_units
from scoring.queries import wording
from scoring.queries.band_days import BandPoint
from scoring.queries.chart import Chart
from scoring.queries.trend import SCORE
from scoring.rules.finding import Message
from yards.pages import words
from yards.pages.tables import Cell, Row, Table
from yards.rules import daytime

_A_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Stretch:
    """Days on which one band held; ``first`` and ``last`` both included."""

    first: date
    last: date
    band: BandPoint

    @property
    def words(self) -> str:
        """The band's edges in words."""
        low, high = (chart_units.edge(each) for each in (self.band.low, self.band.high))
        return gettext("{low} to {high}").format(low=low, high=high)


def stretches(chart: Chart, zone: str) -> list[Stretch]:
    """Return the bands of the window's days until today, in order."""
    until = daytime.local_date(chart.window.until, zone)
    points = [each for each in chart.trends[SCORE].band if each.on <= until]
    turns = [
        each for place, each in enumerate(points) if place == 0 or each.turns(points[place - 1])
    ]
    ends = [each.on - _A_DAY for each in turns[1:]] + [until]
    return [Stretch(each.on, end, each) for each, end in zip(turns, ends, strict=True)]


def said(chart: Chart, zone: str) -> Iterator[str]:
    """Yield what the bands were: from when, and how long each held."""
    found = stretches(chart, zone)
    began = unknown_until(chart, zone)
    if not found:
        told = gettext("No target band: what it hung on is on record only from {day}.")
        yield told.format(day=words.day(chart.trends[SCORE].band_from or chart.now.date()))
        return
    if began is not None:
        told = gettext("No target band before {day}: what it hung on is not on record.")
        yield told.format(day=words.day(began))
    if len(found) == 1:
        yield gettext("Target band {band}.").format(band=found[0].words)
        return
    until, since = gettext("{band} until {day}"), gettext("{band} since {day}")
    parts = [until.format(band=each.words, day=words.day(each.last)) for each in found[:-1]]
    parts.append(since.format(band=found[-1].words, day=words.day(found[-1].first)))
    yield gettext("Target band {bands}.").format(bands=", ".join(parts))


def unknown_until(chart: Chart, zone: str) -> date | None:
    """Return the first day with a band, where days before it are drawn without one."""
    began = chart.trends[SCORE].band_from
    first = daytime.local_date(chart.window.first, zone)
    return began if began is not None and began > first else None


def table(chart: Chart, zone: str) -> Table:
    """Return each band with its days and why it held."""
    rows = [
        Row(
            (
                Cell(words.day(each.first)),
                Cell(words.day(each.last)),
                Cell(each.words),
                Cell(_why(each.band.why)),
            )
        )
        for each in reversed(stretches(chart, zone))
    ]
    return Table(
        caption=gettext("Target bands of this time"),
        columns=(gettext("From"), gettext("Until"), gettext("Target band"), gettext("Why")),
        rows=rows,
        empty=gettext("No target band on record in this time"),
    )


def on(chart: Chart, at: datetime, zone: str) -> str:
    """Return the band of the day of an instant in words, empty where none is on record."""
    day = daytime.local_date(at, zone)
    held = [each for each in stretches(chart, zone) if each.first <= day <= each.last]
    return held[0].words if held else ""


def _why(why: Message | None) -> str:
    return wording.say(*why) if why is not None else ""
