"""What is thought of a series: before any reading, and while a fit looks for it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from scoring.rules import doubts, standing, trend
from scoring.rules.trend_case import Case
from scoring.rules.trend_panel import Floats


@dataclass(frozen=True, slots=True)
class Prior:
    """Defaults of one series, in its unit; days for times.

    ``noise`` by method; ``assessor_sd`` and ``instrument_sd`` how far offsets lie from 0. What is 0
    stays 0. The spreads are standard deviations of natural logarithms (of a drift, which is a
    square, twice the model's); infinity leaves all to the readings. A true method has no offset,
    and anchors all others.
    """

    model: trend.Model
    noise: Mapping[str, float]
    assessor_sd: float
    instrument_sd: float
    true_methods: tuple[str, ...] = ()
    noise_spread: float = 0.5
    model_spread: float = 1.0
    offset_spread: float = 0.5


def _score(scale: str) -> Prior:
    return Prior(trend.SCORE, {scale: standing.SCORE_NOISE[scale]}, doubts.HAND[scale], 0.0)


def _girth(measure: str) -> Prior:
    noise = {measure: standing.GIRTH_NOISE[measure]}
    return Prior(standing.GIRTH, noise, doubts.HAND[measure], doubts.GIRTH_TAPE)


# How far hands and tapes lie apart is ``doubts``'s; of instruments of weight what it has of tapes.
# Scores name their scale as their method, girths their measure.
PRIORS: Mapping[str, Prior] = {
    "five": _score("five"),
    "nine": _score("nine"),
    "donkey": _score("donkey"),
    "crest": Prior(trend.SCORE, {"crest": standing.CREST_NOISE}, doubts.HAND["crest"], 0.0),
    "weight": Prior(
        trend.WEIGHT,
        standing.WEIGHT_NOISE,
        doubts.HAND["weight"],
        doubts.WEIGHT["weigh_tape"].instrument,
        ("weighbridge",),
    ),
    "girth_cm": _girth("girth_cm"),
    "belly_girth_cm": _girth("belly_girth_cm"),
}


@dataclass(frozen=True, slots=True, eq=False)
class Guess:
    """All that is looked for but the offsets themselves.

    Noise by method, its factors by assessor and by instrument, the model, and how far the offsets
    of assessors and of instruments lie from 0.
    """

    noise: Floats
    times: tuple[Floats, Floats]
    model: trend.Model
    sd: tuple[float, float]

    @classmethod
    def first(cls, case: Case, prior: Prior) -> "Guess":
        """Return the guess before any reading."""
        noise = np.array([prior.noise[name] for name in case.rows.methods.names])
        ones = np.ones(len(case.rows.assessors.names)), np.ones(len(case.rows.instruments.names))
        return cls(noise, ones, prior.model, (prior.assessor_sd, prior.instrument_sd))

    def vector(self) -> Floats:
        """Return what the likelihood is climbed by."""
        return np.array([*self.noise, self.model.drift, self.model.rate_sd, *self.sd])

    def moved(self, to: Floats) -> "Guess":
        """Return the guess with another such vector."""
        drift, rate_sd, assessor_sd, instrument_sd = to[-4:].tolist()
        model = replace(self.model, drift=drift, rate_sd=rate_sd)
        return replace(self, noise=to[:-4], model=model, sd=(assessor_sd, instrument_sd))

    def noises(self, case: Case) -> Floats:
        """Return the standard deviation of each reading, within what the trend takes."""
        found = self.noise[case.rows.methods.code]
        for keys, times in zip(
            (case.rows.assessors, case.rows.instruments), self.times, strict=True
        ):
            found = found * np.append(times, 1.0)[keys.code]
        return np.clip(found, trend.LEAST_NOISE, trend.MOST_NOISE)

    def sds(self) -> Floats:
        """Return how far the offset of each key lies from 0, assessors first."""
        return np.repeat(self.sd, [each.size for each in self.times])
