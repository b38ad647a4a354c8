"""Where a horse stands, and what is due, as clients read it."""

from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from uuid import UUID

from scoring.models import Standing
from scoring.queries import targets
from scoring.queries.assessments import Band
from scoring.rules import due, outlook
from scoring.rules import scale as scales
from scoring.rules import standing as rule
from scoring.rules.finding import Message
from yards.access import doors
from yards.models import Horse
from yards.rules.roles import Verb, Viewer


@dataclass(frozen=True, slots=True)
class Interval:
    """A level in points with its 80% interval, as of the last reading that was trended: ``at``."""

    level: float
    low: float
    high: float
    at: datetime


@dataclass(frozen=True, slots=True)
class Rate:
    """A rate a month in points with its 80% interval, as of the same reading as the level."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class DueCard:
    """When score and weight fall due; ``state`` is the graver of the two by the yard's calendar.

    ``check_at`` is the next daily look at an emaciated animal. ``why`` is a message key.
    """

    score_at: datetime
    weight_at: datetime
    check_at: datetime | None
    state: str
    why: str


@dataclass(frozen=True, slots=True)
class Weighed:
    """The last weight as it was read, in kilograms."""

    kg: Decimal
    method: str
    at: datetime


@dataclass(frozen=True, slots=True)
class StandingCard:
    """Where one horse stands. Scores in points, weight in kilograms, times in UTC.

    Level, rate and weight are as of their last reading; more than 120 days after it there are none.
    ``weight_kg`` is a level too, by all readings; ``weighed`` the last of them, however long ago.
    ``last_overall`` is what was felt last, by itself, in points: ``place`` is by that one.
    ``weight_at`` is when it was last weighed, however long ago. ``band_why`` are message keys: what
    chose the band, and what moved its aim.
    """

    horse: UUID
    overall: Interval | None
    place: str
    rate_per_month: Rate | None
    reason: str
    weight_kg: Decimal | None
    weight_at: datetime | None
    last_assessment: UUID | None
    last_assessed_at: datetime | None
    last_overall: Decimal | None
    due: DueCard
    open_alerts: int
    band: Band
    band_why: tuple[Message, ...] = ()
    weighed: Weighed | None = None


def get_standing(viewer: Viewer, horse: UUID, *, now: datetime) -> StandingCard:
    """Return one horse's standing; raises NotFound or NotAllowed."""
    subject = doors.horse_for_read(viewer, horse)
    doors.require(viewer, Verb.READ_STANDING)
    rows = Standing.objects.select_related("last_assessment", "last_weighing")
    found = rows.get(horse_id=subject.id)
    return _card(found, subject, now)


def _card(found: Standing, horse: Horse, now: datetime) -> StandingCard:
    last, weighed = found.last_assessment, found.last_weighing
    orders = targets.orders_of([horse.id], now).get(horse.id, targets.NO_ORDERS)
    scale = last.scale if last is not None else None
    band = targets.band_of(horse, horse.yard, now, orders=orders, scale=scale)
    score, weight = (rule.State.of(each) for each in (found.score_filter, found.weight_filter))
    estimate = rule.estimate_at(score, now)
    zone = horse.yard.time_zone
    states = [due.state(at, now, zone) for at in (found.score_due_at, found.weight_due_at)]
    return StandingCard(
        horse=horse.ref,
        overall=_interval(estimate, score),
        place=found.place,
        rate_per_month=_rate(estimate),
        reason=estimate.reason if estimate is not None else outlook.lacking_at(score, now),
        weight_kg=weight_told(weight, now),
        weight_at=_instant(weight),
        last_assessment=last.ref if last is not None else None,
        last_assessed_at=last.corrected_at if last is not None else None,
        last_overall=scales.mean(last.overall_sixths) if last is not None else None,
        due=DueCard(
            found.score_due_at,
            found.weight_due_at,
            found.check_due_at,
            max(states, key=due.STATES.index),
            found.interval_reason,
        ),
        open_alerts=found.open_alerts,
        band=Band(band.low, band.aim, band.high),
        band_why=band.why,
        weighed=Weighed(weighed.weight_kg, weighed.method, weighed.corrected_at)
        if weighed is not None
        else None,
    )


def weight_told(state: rule.State | None, now: datetime) -> Decimal | None:
    """Return a weight in kilograms to one place; None more than 120 days after the last reading."""
    if outlook.too_old(state, now):
        return None
    found = rule.weight_estimate(state)
    return Decimal(str(round(found.kg, 1))) if found is not None else None


def _interval(estimate: rule.Estimate | None, state: rule.State | None) -> Interval | None:
    at = _instant(state)
    if estimate is None or at is None:
        return None
    return Interval(estimate.level, estimate.low, estimate.high, at)


def _instant(state: rule.State | None) -> datetime | None:
    return None if state is None else datetime.fromtimestamp(state.at, UTC)


def _rate(estimate: rule.Estimate | None) -> Rate | None:
    if estimate is None or estimate.rate_per_month is None:
        return None
    return Rate(estimate.rate_per_month, estimate.rate_low or 0.0, estimate.rate_high or 0.0)
