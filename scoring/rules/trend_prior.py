"""What is thought of a series: before any reading, and while a fit looks for it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from scoring.rules import standing, trend
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


def _score(scale: str, assessor_sd: float) -> Prior:
    return Prior(trend.SCORE, {scale: standing.SCORE_NOISE[scale]}, assessor_sd, 0.0)


def _girth(measure: str, assessor_sd: float) -> Prior:
    return Prior(standing.GIRTH, {measure: standing.GIRTH_NOISE[measure]}, assessor_sd, 2.0)


# How far hands and tapes lie apart is assumed: a third of a point on five, tapes some per cent (one
# study had a girth tape 12% high, Ellis 2003, a thesis, as told by others). Scores name their scale
# as their method, girths their measure.
PRIORS: Mapping[str, Prior] = {
    "five": _score("five", 0.3),
    "nine": _score("nine", 0.5),
    "donkey": _score("donkey", 0.3),
    "crest": Prior(trend.SCORE, {"crest": standing.CREST_NOISE}, 0.3, 0.0),
    "weight": Prior(trend.WEIGHT, standing.WEIGHT_NOISE, 0.01, 0.04, ("weighbridge",)),
    "girth_cm": _girth("girth_cm", 1.0),
    "belly_girth_cm": _girth("belly_girth_cm", 1.5),
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
