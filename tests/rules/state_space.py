"""The same trend by an independent implementation: statsmodels' state space filter and smoother.

The level starts exactly diffuse and the rate with a known variance, which our start ought to equal.
"""

import math
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Any, NamedTuple

import numpy as np

from scoring.rules import trend
from tests.oracles import initialization, kalman_smoother

START = datetime(2024, 1, 1, 9, tzinfo=UTC)
# Of the first reading, which their likelihood counts and ours does not.
FIRST = -0.5 * math.log(2 * math.pi)


class Seen(NamedTuple):
    """A value at a day, None where it is missing, and its noise."""

    day: float
    value: float | None
    noise: float


def readings(seen: Sequence[Seen]) -> list[trend.Reading]:
    """Return what of it the product is given."""
    return [
        trend.Reading(at(each.day), each.value, each.noise, "five")
        for each in seen
        if each.value is not None
    ]


def at(day: float) -> datetime:
    return START + timedelta(days=day)


def solved(seen: Sequence[Seen], model: trend.Model) -> Any:
    """Return statsmodels' results, filtered and smoothed, over the times of what was seen."""
    days = np.array([each.day for each in seen])
    gaps = np.append(np.diff(days), 1.0)
    values = [np.nan if each.value is None else each.value for each in seen]
    found = kalman_smoother.KalmanSmoother(k_endog=1, k_states=2, k_posdef=2)
    found.bind(np.array(values))
    found["design"] = np.array([[1.0, 0.0]])
    found["obs_cov"] = np.array([each.noise**2 for each in seen]).reshape(1, 1, -1)
    found["selection"] = np.eye(2)
    one, none = np.ones_like(gaps), np.zeros_like(gaps)
    found["transition"] = np.array([[one, gaps], [none, one]])
    found["state_cov"] = np.array(
        [
            [model.drift * gaps**3 / 3 + model.wander * gaps, model.drift * gaps**2 / 2],
            [model.drift * gaps**2 / 2, model.drift * gaps],
        ]
    )
    start = initialization.Initialization(2)
    start.set(0, "diffuse")
    start.set(1, "known", constant=[0.0], stationary_cov=[[model.rate_sd**2]])
    found.initialize(start)
    return found.smooth()


def rows(states: np.ndarray, covariances: np.ndarray) -> np.ndarray:
    """Return level, rate, level variance, cross and rate variance, a row for each time."""
    return np.array([*states, covariances[0, 0], covariances[0, 1], covariances[1, 1]]).T
