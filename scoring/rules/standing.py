"""What a standing keeps of the trend: readings with their noise, and the estimate at the last one.

Scores run in points on their own scale, weights as natural logarithms of kilograms, girths in
centimetres. The maths is ``trend``'s, the numbers are ``outlook``'s. Noises are standard deviations
of one reading, for a hand or instrument of which nothing more is known, from memory: a trained
score repeats within about 0.25 to 0.5 on 0-5, the same tape and hand within about 2%. For girths
only one figure was read: taping at the withers' top or slope differs by 2 cm in Icelandic horses
and 5 cm in warmbloods (Jensen et al. 2019, Acta Veterinaria Scandinavica 61); the rest is assumed.
A weight by eye varies by half of what Ellis and Hollands 1998 found by eye (20.1%): assumed.

A noise is what changes from one reading to the next. What one hand or instrument is off by at every
reading of the animal is ``doubts``'s, and far more for a weight that was not weighed.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from scoring.rules import baseline, checked, outlook, scale, trend
from scoring.rules import doubts as doubts_of
from scoring.rules.doubts import Doubts

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
    """Weight in kilograms with its 80% interval, of the true weight by a weighbridge.

    Rates a week, in per cent and kilograms.
    """

    kg: float
    low: float
    high: float
    percent_per_week: float | None
    kg_per_week: float | None
    reason: str


def estimate(state: State | None) -> Estimate | None:
    """Return what a state says of its last reading's time, however old; None without readings.

    Fewer than 3 readings, or fewer than 14 days between first and last: no rate, and one reason.
    """
    found = outlook.estimate(state)
    if found is None or found.enough:
        return found
    return replace(found, reason=NOT_ENOUGH)


def estimate_at(state: State | None, now: datetime) -> Estimate | None:
    """Return the same, and None once the last reading is more than 120 days old."""
    return None if outlook.too_old(state, now) else estimate(state)


def weight_estimate(state: State | None) -> WeightEstimate | None:
    """Return what a state of logarithms of weights says, in kilograms."""
    found = estimate(state)
    if state is None or found is None:
        return None
    level = outlook.kilograms(outlook.level(state))
    rate = outlook.weight_rate(state) if found.enough else None
    return WeightEstimate(
        *level,
        percent_per_week=None if rate is None else rate.percent.value,
        kg_per_week=None if rate is None else rate.kg.value,
        reason=found.reason,
    )


def score_reading(
    at: datetime, sixths: int, scale_key: str, *, offset: float = 0.0, doubts: Doubts = ()
) -> Reading:
    """Return a palpated overall, in sixths of a point, as the trend reads it: the exact mean.

    ``offset`` is how many points the assessor is estimated to score too high, ``doubts`` how unsure
    that is. Raises OutOfRange for a scale that is not known and for sixths off it.
    """
    noise, ends = doubts_of.known("scale", SCORE_NOISE, scale_key), scale.of(scale_key)
    value = checked.whole("sixths", sixths, 3 * ends.low, 3 * ends.high) / 6
    return Reading(at, value, noise, scale_key, offset, doubts)


def weight_reading(
    at: datetime, kg: float, method: str, *, offset: float = 0.0, doubts: Doubts = ()
) -> Reading:
    """Return a weighing as the trend reads it: the logarithm of its kilograms, 1 to 10,000.

    ``offset`` is the logarithm of how many times too much the instrument is estimated to read.
    Raises OutOfRange, for a method that is not known too.
    """
    noise = doubts_of.known("method", WEIGHT_NOISE, method)
    value = math.log(checked.within("kg", kg, 1, 10_000))
    return Reading(at, value, noise, "weight", offset, doubts)


def girth_reading(at: datetime, cm: float, measure: str, *, doubts: Doubts = ()) -> Reading:
    """Return a girth, ``girth_cm`` or ``belly_girth_cm``, as the trend reads it; model ``GIRTH``.

    Nothing is fitted of girths: no hand or tape is corrected for, and ``doubts`` are the defaults.
    Raises OutOfRange, for a measure that is not known too.
    """
    noise = doubts_of.known("measure", GIRTH_NOISE, measure)
    return Reading(at, checked.within("cm", cm, 1, 1000), noise, measure, doubts=doubts)


def crest_reading(at: datetime, halves: int, *, doubts: Doubts = ()) -> Reading:
    """Return a cresty neck score, in half points, as the trend reads it; model ``SCORE``.

    Nothing is fitted of crests: no hand is corrected for. Raises OutOfRange for halves off 0 to 10.
    """
    ends = scale.of(scale.CREST)
    value = checked.whole("halves", halves, ends.low, ends.high) / 2
    return Reading(at, value, CREST_NOISE, scale.CREST, doubts=doubts)
