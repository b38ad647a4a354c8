"""The facts of one animal for the risk rules, from rows that are in hand: nothing is asked here."""

from collections.abc import Callable
from datetime import UTC, date, datetime

from scoring.models import Standing
from scoring.queries import targets
from scoring.rules import band as bands
from scoring.rules import outlook, risk, seen, threshold, trend
from yards.models import Yard
from yards.rules import breeding, daytime, seasons


def facts_of(
    yard: Yard,
    standing: Standing,
    orders: targets.Orders,
    palpated: seen.Score | None,
    *,
    now: datetime,
    own: threshold.Own,
) -> risk.Facts:
    """Return what is known besides the readings; the standing holds horse, trends and due times.

    ``own`` is what the rules go by for this horse. No horse has a plan yet.
    """
    horse = standing.horse
    band, on = targets.band_facts(horse, yard, orders), daytime.local_date(now, yard.time_zone)
    foaled = [at for kind, at in orders.events if kind == breeding.FOALED and at <= now]
    return risk.Facts(
        now=now,
        species=horse.species,
        kind=horse.kind,
        use=horse.use,
        stage=band.stage(on),
        bred=band.bred(on),
        zone=yard.time_zone,
        hemisphere=yard.hemisphere,
        spring=seasons.spring_of(yard.spring_first, yard.spring_last),
        laminitis=horse.laminitis,
        endocrine=horse.endocrine,
        palpated=palpated,
        edges=edges_of(band, on, palpated, now),
        score_trend=score_trend(trend.State.of(standing.score_filter), now),
        weight_trend=weight_trend(trend.State.of(standing.weight_filter), now),
        foaled_at=max(foaled, default=None),
        score_due_at=standing.score_due_at,
        weight_due_at=standing.weight_due_at,
        check_due_at=standing.check_due_at,
        thresholds=own.thresholds,
        off=own.off,
    )


def edges_of(
    facts: bands.Facts, on: date, palpated: seen.Score | None, now: datetime
) -> seen.Edges | None:
    """Return the edges of the band on a day, on the scale of the newest felt score."""
    if palpated is None:
        return None
    band = bands.band(facts, on, palpated.scale, now)
    return seen.Edges(palpated.scale, band.low, band.high)


def score_trend(state: trend.State | None, now: datetime) -> seen.Trend | None:
    """Return what the filter of the scores says at a time; None before the first reading."""
    if state is None:
        return None
    level = outlook.level(state)
    rate = _rate(state, now, lambda: outlook.rate_per(state, trend.MONTH_DAYS))
    return seen.Trend(state.series, _instant(state.first_at), _instant(state.at), *level, *rate)


def weight_trend(state: trend.State | None, now: datetime) -> seen.Trend | None:
    """Return the trend of weights: the filter runs in logarithms of kilograms."""
    if state is None:
        return None
    level = outlook.kilograms(outlook.level(state))
    rate = _rate(state, now, lambda: outlook.weight_rate(state).percent)
    return seen.Trend("weight", _instant(state.first_at), _instant(state.at), *level, *rate)


def _rate(
    state: trend.State, now: datetime, found: Callable[[], outlook.Span]
) -> tuple[float | None, float | None, float | None]:
    """Return a rate with its interval, or none while too few readings say any, or too old ones."""
    if outlook.lacking_at(state, now):
        return None, None, None
    return found()


def _instant(seconds: float) -> datetime:
    return datetime.fromtimestamp(seconds, UTC)
