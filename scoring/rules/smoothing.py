"""Level and rate at any time of a series, seen from all its readings: the lines of a plot.

The Rauch-Tung-Striebel smoother (Rauch, Tung and Striebel 1965, AIAA Journal 3:1445-1450, from
memory) over each baseline by itself: no line joins readings on two sides of a break. The gain is
written out for this model in sums that do not cancel, and the covariance in its quadratic form, so
that rounding takes no variance below zero.

How far the line goes with the offset of each hand and instrument is carried back by the same gain,
which is exact, since the line is a sum of readings; but for keys that the filter had let go.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import NamedTuple

from scoring.rules import baseline, checked, outlook, trend, trend_shared
from scoring.rules.outlook import Span


class Baseline(NamedTuple):
    """Readings that one line may join, and the key of why they begin anew; empty for the first."""

    reason: str
    readings: tuple[trend.Reading, ...]


class Point(NamedTuple):
    """Level, and rate a day, with their 80% intervals; ``read`` where a reading was taken.

    ``alone`` is the level's variance were every offset known, ``shared`` what offsets add to it.
    """

    at: datetime
    level: Span
    rate: Span
    read: bool
    alone: float
    shared: trend_shared.Shared


class Line(NamedTuple):
    """One baseline's points by time. ``reason`` says why it begins anew, empty for the first.

    ``lacking`` says why no rate and no line may be shown, empty where they may: message keys.
    """

    reason: str
    series: str
    lacking: str
    points: tuple[Point, ...]


class _Known(NamedTuple):
    """Level and rate with their covariance, smoothed, and what they share; see ``trend.State``."""

    level: float
    rate: float
    level_var: float
    cross: float
    rate_var: float
    shared: trend_shared.Shared


def baselines(
    readings: Iterable[trend.Reading], *, resets: Sequence[baseline.Reset] = ()
) -> list[Baseline]:
    """Return readings that are in order, cut where a trend begins anew."""
    runs: list[tuple[str, list[trend.Reading]]] = []
    last, last_series = 0.0, ""
    for each in readings:
        at = checked.instant(each.at)
        if runs and at < last:
            raise trend.OutOfOrder(each.at.isoformat())
        reason = baseline.why(last, last_series, at, each.series, resets) if runs else ""
        if reason or not runs:
            runs.append((reason, []))
        runs[-1][1].append(each)
        last, last_series = at, each.series
    return [Baseline(reason, tuple(run)) for reason, run in runs]


def smooth(
    readings: Iterable[trend.Reading],
    *,
    model: trend.Model = trend.SCORE,
    resets: Sequence[baseline.Reset] = (),
    at: Iterable[datetime] = (),
) -> list[Line]:
    """Return the lines of readings that are in order: a point at each, and at the times asked.

    A time asked for is answered between the readings of one baseline, and after the last of all for
    up to 120 days (unless a reset comes first); not before the first, nor across a break.
    Raises OutOfOrder and OutOfRange.
    """
    asked = sorted({checked.instant(each) for each in at})
    found = baselines(readings, resets=resets)
    lines = []
    for number, each in enumerate(found):
        states = list(trend.filtered(each.readings, model=model))
        last, ends = states[-1], number == len(found) - 1
        within = [
            seconds
            for seconds in asked
            if states[0].at <= seconds <= last.at
            or (ends and seconds > last.at and not _broken(last, seconds, resets))
        ]
        points = tuple(_points(states, within, model))
        lines.append(Line(each.reason, last.series, outlook.lacking(last), points))
    return lines


def _broken(last: trend.State, seconds: float, resets: Sequence[baseline.Reset]) -> bool:
    """Return whether a reading at a time would begin anew."""
    return baseline.why(last.at, last.series, seconds, last.series, resets) != ""


def _points(states: list[trend.State], asked: list[float], model: trend.Model) -> list[Point]:
    """Return the points of one baseline, backwards from what is known last."""
    last = states[-1]
    found = [_point(_of(trend.ahead(last, each, model)), each) for each in asked if each > last.at]
    found.reverse()
    known = _of(last)
    found.append(_point(known, last.at, read=True))
    left = [each for each in asked if each < last.at]
    for state, following in zip(states[-2::-1], states[:0:-1], strict=True):
        while left and left[-1] > state.at:
            between = trend.ahead(state, left.pop(), model)
            found.append(_point(_back(between, following.at, known, model), between.at))
        known = _back(state, following.at, known, model)
        if left and left[-1] == state.at:
            left.pop()
        found.append(_point(known, state.at, read=True))
    found.reverse()
    return found


def _of(state: trend.State) -> _Known:
    return _Known(*state[4:])


def _point(known: _Known, seconds: float, *, read: bool = False) -> Point:
    level_var, _, rate_var = trend_shared.covariance(known.shared)
    return Point(
        datetime.fromtimestamp(seconds, UTC),
        outlook.span(known.level, known.level_var + level_var),
        outlook.span(known.rate, known.rate_var + rate_var),
        read,
        known.level_var,
        known.shared,
    )


def _gain(state: trend.State, days: float, model: trend.Model) -> tuple[float, float, float, float]:
    """Return the smoother's gain: covariance, times transition, over the covariance expected.

    With d days, gained q = drift d, wandered w = wander d and D the determinant before:
    the expected covariance has the determinant
    D + w (v + q) + q (p + d c + d² v / 3) + q² d² / 12, all of whose parts are at least 0.
    """
    p, c, v = state.level_var, state.cross, state.rate_var
    q, w = model.drift * days, model.wander * days
    apart = max(p * v - c * c, 0.0)
    whole = apart + w * (v + q) + q * (p + days * (c + days * v / 3)) + q * q * days * days / 12
    if whole <= 0.0:
        # A rate known without doubt, or nothing that moves: back along the line.
        kept = p / (p + w) if v <= 0.0 else 1.0
        return kept, -days * kept, 0.0, 1.0
    return (
        (apart + q * (p + days * c / 2)) / whole,
        (w * c - days * (apart + q * (p / 2 + days * c / 6))) / whole,
        q * (c + days * v / 2) / whole,
        (apart + w * v - q * days * (c / 2 + days * v / 6)) / whole,
    )


def _back(state: trend.State, following: float, known: _Known, model: trend.Model) -> _Known:
    """Return what is known of a state's time, given what is known of a later one."""
    days = (following - state.at) / trend.DAY
    a, b, c, d = _gain(state, days, model)
    expected = trend.ahead(state, following, model)
    off, off_rate = known.level - expected.level, known.rate - expected.rate
    # What the state keeps of itself: the unit matrix less the gain times the transition.
    keeps = 1 - a, -(days * a + b), -c, 1 - (days * c + d)
    q = model.drift * days
    moved = (
        known.level_var + q * days * days / 3 + model.wander * days,
        known.cross + q * days / 2,
        known.rate_var + q,
    )
    own = _carried(keeps, (state.level_var, state.cross, state.rate_var))
    given = _carried((a, b, c, d), moved)
    return _Known(
        state.level + a * off + b * off_rate,
        state.rate + c * off + d * off_rate,
        own[0] + given[0],
        own[1] + given[1],
        own[2] + given[2],
        trend_shared.back(state.shared, known.shared, days, (a, b, c, d)),
    )


def _carried(
    by: tuple[float, float, float, float], covariance: tuple[float, float, float]
) -> tuple[float, float, float]:
    """Return a covariance carried by a matrix from both sides; no variance comes out below 0."""
    a, b, c, d = by
    p, r, v = covariance
    return (
        max(a * (a * p + 2 * b * r) + b * b * v, 0.0),
        a * c * p + (a * d + b * c) * r + b * d * v,
        max(c * (c * p + 2 * d * r) + d * d * v, 0.0),
    )
