"""Invented animals whose true level and rate are known: drawn from the very model of the trend."""

import math
import random
from typing import NamedTuple

from scoring.rules import trend
from tests.rules.state_space import at


class Truth(NamedTuple):
    """Where an animal truly is on a day."""

    day: float
    level: float
    rate: float


def moved(truth: Truth, day: float, model: trend.Model, rng: random.Random) -> Truth:
    """Return the truth of a later day: drift comes in as noise of level and rate together."""
    days = day - truth.day
    rate_sd = math.sqrt(model.drift * days)
    jump = rng.gauss(0, rate_sd)
    # Of the level's gain given the rate's: mean half a step of it, a quarter of its variance left.
    level = truth.level + days * truth.rate + days / 2 * jump
    level += rng.gauss(0, math.sqrt(model.drift * days**3 / 12 + model.wander * days))
    return Truth(day, level, truth.rate + jump)


def animal(
    days: list[float], noise: float, model: trend.Model, rng: random.Random
) -> tuple[list[trend.Reading], list[Truth]]:
    """Return one animal's readings on these days, and its truth on each."""
    truth = Truth(days[0], rng.uniform(2, 4), rng.gauss(0, model.rate_sd))
    truths = [truth]
    for day in days[1:]:
        truth = moved(truth, day, model, rng)
        truths.append(truth)
    readings = [
        trend.Reading(at(each.day), rng.gauss(each.level, noise), noise, "five") for each in truths
    ]
    return readings, truths
