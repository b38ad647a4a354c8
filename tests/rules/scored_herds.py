"""Invented herds scored by hands whose offsets are drawn from the prior, and what is told of them.

Many small organisations, since what the hands of one share is one draw for all of its horses.
"""

import math
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

import numpy as np

from scoring.rules import (
    doubts,
    fitted,
    outlook,
    smoothing,
    standing,
    trend,
    trend_case,
    trend_fit,
    trend_told,
)
from scoring.rules.trend_prior import PRIORS, Guess
from tests.rules import simulated

ORGANISATIONS, HORSES, HANDS = 40, 50, 6
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
ONE, SIX = "one hand a horse", "six hands"


class Scored(NamedTuple):
    """A herd, scores of it in sixths, and which hand made each."""

    herd: simulated.Herd
    sixths: Any
    by: Any


def scored(rng: np.random.Generator, who: str) -> Scored:
    """Return an organisation's scores: three regions, each felt apart and rounded to a half.

    The hands are drawn from the prior, and not centred: they may all score high. Of a horse of
    ``ONE`` every score is its own hand's; of ``SIX`` any hand's, but for every fourth horse, which
    is as one of ``ONE``.
    """
    herd = simulated.herd(rng, horses=HORSES, readings=(8, 20), model=trend.SCORE)
    bias = rng.normal(0.0, doubts.HAND["five"], HANDS)
    own = rng.integers(0, HANDS, HORSES)[herd.horse]
    alone = (who == ONE) | (herd.horse % 4 == 0)
    by = np.where(alone, own, rng.integers(0, HANDS, herd.size))
    felt = rng.normal(0.0, 1.0, (3, herd.size)) * standing.SCORE_NOISE["five"] * math.sqrt(3)
    halves = np.round(2 * (herd.level + bias[by] + felt))
    return Scored(herd, halves.sum(axis=0), by)


def fit(found: Scored) -> fitted.Fit:
    """Return the hands as found under the defaults, which are the truth here: without the climb."""
    hands = [str(each) for each in found.by]
    given = simulated.readings(found.herd, found.sixths / 6, method="five", assessor=hands)
    case, prior = trend_case.of(given, "five", ()), PRIORS["five"]
    guess = Guess.first(case, prior)
    known = trend_told.Found(guess, *trend_fit.solved(case, guess), 0.0)
    return trend_told.told("five", case, prior, known)


def readings(found: Scored, rows: Any, known: fitted.Fit | None) -> list[trend.Reading]:
    """Return one horse's readings, by a fit or by the defaults."""
    taken = []
    for row in rows:
        hand = str(found.by[row])
        at = EPOCH + timedelta(days=float(found.herd.days[row]))
        taken.append(
            trend.Reading(
                at,
                float(found.sixths[row]) / 6,
                standing.SCORE_NOISE["five"],
                "five",
                0.0 if known is None else known.offset_of("five", hand),
                doubts.of_hand("five", hand) if known is None else known.doubts_of("five", hand),
            )
        )
    return taken


class Held(NamedTuple):
    """Whether intervals held the truth: the last level and rate, and those of a line's points."""

    level: list[bool]
    rate: list[bool]
    drawn: list[bool]
    drawn_rate: list[bool]

    def shares(self) -> dict[str, float]:
        """Return the share that did, by name."""
        return {name: float(np.mean(each)) for name, each in self._asdict().items()}


def held(seed: int, who: str, *, fits: bool) -> dict[str, Held]:
    """Return what held over all organisations: of horses of one hand, and of those of six."""
    rng = np.random.default_rng(seed)
    told = {key: Held([], [], [], []) for key in (ONE, SIX)}
    for _ in range(ORGANISATIONS):
        found = scored(rng, who)
        known = fit(found) if fits else None
        for horse in range(HORSES):
            rows = np.flatnonzero(found.herd.horse == horse)
            one = who == ONE or horse % 4 == 0
            _count(told[ONE if one else SIX], found, rows, readings(found, rows, known))
    return told


def _count(told: Held, found: Scored, rows: Any, taken: list[trend.Reading]) -> None:
    state, herd = trend.refilter(taken), found.herd
    if state is None or outlook.lacking(state):
        return
    told.level.append(_holds(outlook.level(state), herd.level[rows[-1]]))
    told.rate.append(_holds(outlook.rate_per(state, 1.0), herd.rate[rows[-1]]))
    for row, point in _drawn(rows, taken):
        told.drawn.append(_holds(point.level, herd.level[row]))
        told.drawn_rate.append(_holds(point.rate, herd.rate[row]))


def _drawn(rows: Any, taken: list[trend.Reading]) -> Iterator[tuple[int, smoothing.Point]]:
    """Yield the points of lines that may be shown, each with its reading."""
    place = 0
    for line in smoothing.smooth(taken):
        for point in line.points:
            if not line.lacking:
                yield int(rows[place]), point
            place += 1


def _holds(told: outlook.Span, true: float) -> bool:
    return bool(told.low < true < told.high)
