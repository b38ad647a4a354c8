"""One measure of one animal over time: points, the smoothed line, the rate, what is to come."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from scoring.models import Assessment, Standing, Weighing
from scoring.queries import band_days, fits, periods, series
from scoring.queries.periods import Period
from scoring.rules import band as bands
from scoring.rules import chart_ahead, outlook, smoothing, trend
from scoring.rules import scale as scales
from yards.access import doors
from yards.rules.roles import Verb, Viewer

SCORE, WEIGHT, CREST = "score", "weight", "crest"
HEART_GIRTH, BELLY_GIRTH = "heart_girth", "belly_girth"
MEASURES = (SCORE, WEIGHT, HEART_GIRTH, BELLY_GIRTH, CREST)
UNITS = {SCORE: "points", WEIGHT: "kg", HEART_GIRTH: "cm", BELLY_GIRTH: "cm", CREST: "points"}
_GIRTHS = {HEART_GIRTH: "girth_cm", BELLY_GIRTH: "belly_girth_cm"}


@dataclass(frozen=True, slots=True)
class Point:
    """One reading as it was taken; ``used`` says whether the line is drawn from it."""

    id: UUID
    at: datetime
    value: Decimal
    used: bool
    by: str
    method: str


@dataclass(frozen=True, slots=True)
class Smoothed:
    """The level at a time, seen from all readings, with its 80% interval; of which baseline."""

    at: datetime
    level: float
    low: float
    high: float
    baseline: int


@dataclass(frozen=True, slots=True)
class Baseline:
    """One run of readings that a line may join; ``reason`` says why it begins anew."""

    number: int
    from_at: datetime
    to_at: datetime
    reason: str
    lacking: str


@dataclass(frozen=True, slots=True)
class Chance:
    """How likely the true level now lies beyond a limit, all offsets' doubt counted."""

    limit: Decimal
    probability: float


@dataclass(frozen=True, slots=True)
class TrendCard:
    """One measure over time, in its own unit; ``reason`` says why there is no rate.

    Rate, chances and forecast are as of now, whichever period the points and the line are of.
    ``rate`` is a month for scores and a week for the rest; ``percent`` a week, of weights only.
    ``band`` is as it applied on each day, from ``band_from`` on, before which none is on record.
    ``taken`` is when every reading was taken that is trended, those before the period too;
    ``ahead`` how the level goes on from now if nothing changes; ``lines`` are in the filter's unit.
    """

    measure: str
    unit: str
    scale: str
    reason: str
    points: tuple[Point, ...]
    smoothed: tuple[Smoothed, ...]
    baselines: tuple[Baseline, ...]
    rate: outlook.Span | None
    percent: outlook.Span | None
    above: Chance | None
    below: Chance | None
    band: tuple[band_days.BandPoint, ...]
    band_from: date | None
    forecast: outlook.Forecast | None
    taken: tuple[datetime, ...]
    ahead: tuple[chart_ahead.Ahead, ...]
    lines: tuple[smoothing.Line, ...]


def get_trend(
    viewer: Viewer,
    horse: UUID,
    *,
    measure: str = SCORE,
    since: datetime | None = None,
    until: datetime | None = None,
    now: datetime,
) -> TrendCard:
    """Return one measure of one horse between two times, by default the last two years.

    The line is drawn from every reading, those before ``since`` too; of a score only readings on
    the scale of the newest are given, since two scales share no axis. Raises NotFound, NotAllowed,
    and Invalid for times the wrong way round.
    """
    last = until or now
    asked = periods.Asked(measure, since or last - periods.USUAL, last)
    return get_trends(viewer, horse, [asked], now=now)[0]


def get_trends(
    viewer: Viewer, horse: UUID, asked: Sequence[periods.Asked], *, now: datetime
) -> list[TrendCard]:
    """Return several measures of one horse, or one between other times; see ``get_trend``."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_STANDING)
    told = [Period(each.since, each.until, now) for each in asked]
    fit = fits.of(Standing.objects.select_related("fit").get(horse_id=subject.id))
    animal = series.animal(subject.id)
    measures = dict.fromkeys(each.measure for each in asked)
    found = {measure: _series(animal, measure, fit) for measure in measures}
    seen = tuple(series.seen(animal)) if SCORE in measures else ()
    held = band_days.of(subject, told, _scale(found[SCORE]), now) if SCORE in measures else None
    return [
        _card(found[measure], seen, measure, period, held)
        if measure == SCORE
        else _card(found[measure], (), measure, period, None)
        for (measure, *_), period in zip(asked, told, strict=True)
    ]


def _scale(found: series.Series) -> str | None:
    return found.readings[-1].series if found.readings else None


def _series(animal: series.Animal, measure: str, fit: fits.InForce) -> series.Series:
    if measure == SCORE:
        return series.of_scores(animal, fit)
    if measure == WEIGHT:
        return series.of_weights(animal, fit)
    if measure == CREST:
        return series.of_crests(animal)
    return series.of_girths(animal, _GIRTHS[measure])


def _card(
    found: series.Series,
    seen: Iterable[Assessment],
    measure: str,
    period: Period,
    held: band_days.History | None,
) -> TrendCard:
    state = found.state()
    reason = outlook.lacking_at(state, period.now)
    lines = smoothing.smooth(
        found.readings, model=found.model, resets=found.resets, at=period.grid()
    )
    scale = (_scale(found) or "") if measure == SCORE else ""
    shown = _shown(measure)
    today, band = (held.today, held.points(period)) if held is not None else (None, ())
    low, high = (today.low, today.high) if today is not None else (None, None)
    rate = None if state is None or reason else state
    weekly = outlook.weight_rate(rate) if rate is not None and measure == WEIGHT else None
    return TrendCard(
        measure=measure,
        unit=UNITS[measure],
        scale=scale,
        reason=reason,
        points=tuple(_points(found, seen, measure, scale, period)),
        smoothed=tuple(_smoothed(lines, scale, shown, period)),
        baselines=tuple(_baselines(lines, scale)),
        rate=weekly.kg if weekly is not None else _rate(rate, measure),
        percent=weekly.percent if weekly is not None else None,
        above=_beyond(rate, high, outlook.chance_above, found.model, period.now),
        below=_beyond(rate, low, outlook.chance_below, found.model, period.now),
        band=band,
        band_from=held.first if held is not None else None,
        forecast=_forecast(rate, today, found.model, period.now),
        taken=tuple(each.at for each in found.readings),
        ahead=tuple(chart_ahead.shown(rate, period.now, found.model, shown)),
        lines=tuple(lines),
    )


def _shown(measure: str) -> Callable[[float], float]:
    """Return what turns a value of the filter into the measure's unit."""
    return math.exp if measure == WEIGHT else float


def _points(
    found: series.Series,
    seen: Iterable[Assessment],
    measure: str,
    scale: str,
    period: Period,
) -> Iterator[Point]:
    """Yield the readings of the period in order; those only seen are kept, and never trended."""
    used = {row.ref for row in found.rows}
    rows = sorted((*found.rows, *seen), key=lambda row: (row.corrected_at, row.received_at, row.id))
    for row in rows:
        other = isinstance(row, Assessment) and scale not in ("", row.scale)
        if period.holds(row.corrected_at) and not other:
            yield Point(
                id=row.ref,
                at=row.corrected_at,
                value=_value(row, measure),
                used=row.ref in used,
                by=row.assessor.name,
                method=row.method if isinstance(row, Weighing) else row.manner,
            )


def _value(row: Assessment | Weighing, measure: str) -> Decimal:
    if isinstance(row, Weighing):
        return row.weight_kg if measure == WEIGHT else Decimal(row.measures[_GIRTHS[measure]])
    if measure == CREST:
        return Decimal(row.crest or 0) / 2
    return scales.mean(row.overall_sixths) or Decimal(0)


def _smoothed(
    lines: list[smoothing.Line], scale: str, shown: Callable[[float], float], period: Period
) -> Iterator[Smoothed]:
    """Yield the lines that may be drawn: those with readings enough, on the scale shown."""
    for number, line in enumerate(lines):
        if line.lacking or (scale and line.series != scale):
            continue
        for point in line.points:
            if period.holds(point.at):
                told = outlook.on_scale(point.level, line.series)
                level, low, high = (shown(each) for each in told)
                yield Smoothed(point.at, level, low, high, number)


def _baselines(lines: list[smoothing.Line], scale: str) -> Iterator[Baseline]:
    for number, line in enumerate(lines):
        if not scale or line.series == scale:
            taken = [each.at for each in line.points if each.read]
            yield Baseline(number, taken[0], taken[-1], line.reason, line.lacking)


def _rate(state: trend.State | None, measure: str) -> outlook.Span | None:
    if state is None:
        return None
    return outlook.rate_per(state, trend.MONTH_DAYS if measure == SCORE else trend.WEEK_DAYS)


def _beyond(
    state: trend.State | None,
    limit: Decimal | None,
    chance: Callable[..., float],
    model: trend.Model,
    now: datetime,
) -> Chance | None:
    if state is None or limit is None:
        return None
    return Chance(limit, chance(state, float(limit), now, model=model))


def _forecast(
    state: trend.State | None, today: bands.Band | None, model: trend.Model, now: datetime
) -> outlook.Forecast | None:
    if state is None or today is None:
        return None
    return outlook.forecast(state, float(today.low), float(today.high), now, model=model)
