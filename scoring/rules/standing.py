"""What a standing keeps of the trend: readings with their noise, and the estimate at the last one.

Scores run in points on their own scale, weights as natural logarithms of kilograms, girths in
centimetres. The maths is ``trend``'s, the numbers are ``outlook``'s. Noises are standard deviations
of one reading, for a hand or instrument of which nothing more is known, from memory: a trained
score repeats within about 0.25 to 0.5 on 0-5, the same tape and hand within about 2%. For girths
only one figure was read: taping at the withers' top or slope differs by 2 cm in Icelandic horses
and 5 cm in warmbloods (Jensen et al. 2019, Acta Veterinaria Scandinavica 61); the rest is assumed.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from scoring.rules import baseline, checked, outlook, trend

Model = trend.Model
State = trend.State
Reading = trend.Reading
Estimate = outlook.Estimate
OutOfOrder = trend.OutOfOrder
SCORE, WEIGHT = trend.SCORE, trend.WEIGHT
step, take, refilter = trend.step, trend.take, trend.refilter

FEWEST, SHORTEST_DAYS = outlook.FEWEST, outlook.SHORTEST_DAYS
LONGEST_GAP_DAYS = baseline.LONGEST_GAP_DAYS
NOT_ENOUGH = outlook.NOT_ENOUGH
MONTH_DAYS, WEEK_DAYS, Z80 = trend.MONTH_DAYS, trend.WEEK_DAYS, outlook.Z80

SCORE_NOISE: Mapping[str, float] = {"five": 0.3, "nine": 0.5, "donkey": 0.3}
WEIGHT_NOISE: Mapping[str, float] = {
    "weighbridge": 0.01,
    "weigh_tape": 0.02,
    "formula": 0.02,
    "estimate": 0.10,
}
CREST_NOISE = 0.5
# Centimetres; the belly also moves with feed, water and breath.
GIRTH_NOISE: Mapping[str, float] = {"girth_cm": 2.0, "belly_girth_cm": 3.0}
# A weight goes about as the square of a girth: half of the weight's per cent, of some 180 cm.
GIRTH = Model(rate_sd=180 * 0.015 / MONTH_DAYS, drift=(180 * 0.005 / MONTH_DAYS) ** 2 / MONTH_DAYS)


@dataclass(frozen=True, slots=True)
class WeightEstimate:
    """Weight in kilograms with its 80% interval; rates a week, in per cent and kilograms."""

    kg: float
    low: float
    high: float
    percent_per_week: float | None
    kg_per_week: float | None
    reason: str


def estimate(state: State | None) -> Estimate | None:
    """Return what a state says of its last reading's time; None without readings.

    Fewer than 3 readings, or fewer than 14 days between first and last: no rate, and one reason.
    """
    found = outlook.estimate(state)
    if found is None or found.enough:
        return found
    return replace(found, reason=NOT_ENOUGH)


def weight_estimate(state: State | None) -> WeightEstimate | None:
    """Return what a state of logarithms of weights says, in kilograms."""
    found = estimate(state)
    if state is None or found is None:
        return None
    level = outlook.kilograms(outlook.Span(found.level, found.low, found.high))
    rate = outlook.weight_rate(state) if found.enough else None
    return WeightEstimate(
        *level,
        percent_per_week=None if rate is None else rate.percent.value,
        kg_per_week=None if rate is None else rate.kg.value,
        reason=found.reason,
    )


def score_reading(
    at: datetime, sixths: int, scale: str, *, offset: float = 0.0, offset_sd: float = 0.0
) -> Reading:
    """Return a palpated overall, in sixths of a point, as the trend reads it: the exact mean.

    ``offset`` is how many points the assessor is estimated to score too high.
    """
    return Reading(at, sixths / 6, SCORE_NOISE[scale], scale, offset, offset_sd)


def weight_reading(
    at: datetime, kg: float, method: str, *, offset: float = 0.0, offset_sd: float = 0.0
) -> Reading:
    """Return a weighing as the trend reads it: the logarithm of its kilograms, 1 to 10,000.

    ``offset`` is the logarithm of how many times too much the instrument is estimated to read.
    """
    value = math.log(checked.within("kg", kg, 1, 10_000))
    return Reading(at, value, WEIGHT_NOISE[method], "weight", offset, offset_sd)


def girth_reading(
    at: datetime, cm: float, measure: str, *, offset: float = 0.0, offset_sd: float = 0.0
) -> Reading:
    """Return a girth, ``girth_cm`` or ``belly_girth_cm``, as the trend reads it; model ``GIRTH``.

    ``offset`` is how many centimetres too much the tape or hand is estimated to read.
    """
    value = checked.within("cm", cm, 1, 1000)
    return Reading(at, value, GIRTH_NOISE[measure], measure, offset, offset_sd)


def crest_reading(
    at: datetime, halves: int, *, offset: float = 0.0, offset_sd: float = 0.0
) -> Reading:
    """Return a cresty neck score, in half points, as the trend reads it; model ``SCORE``."""
    return Reading(at, halves / 2, CREST_NOISE, "crest", offset, offset_sd)
