"""What offsets that readings share do to a level and a rate: no number of readings averages it out.

All readings of one hand or instrument are off by the same, whatever that is. The filter's numbers
are sums of readings, so a state keeps for each key how far level and rate go with its offset: over
a time as they go themselves, at a reading by ``key`` by the filter's own gain. Beside the variance
that readings leave, an offset of which one is unsure by ``sd`` then adds
``sd**2 * [[level**2, level * rate], [level * rate, rate**2]]``. One hand alone shifts the level by
its whole offset, and the rate by nothing. This is the covariance analysis with consider parameters
of Schmidt 1966, Advances in Control Systems 3:293, with the filter's gain left as it is (from
memory; the numbers are held against dense matrices). Offsets of different keys are taken as
independent.

A key that neither level nor rate goes with by a hundredth any more is let go.
"""

import math
from collections.abc import Mapping, Sequence

from scoring.rules import checked, doubts

LEAST = 0.01
MOST_SD = 1e6
# Days in which what a rate goes with an offset by comes to what a level would.
_MONTH = 365.25 / 12


# How far level, and rate a day, go with an offset, and how unsure that is: one SD.
Pull = tuple[float, float, float]
Shared = Mapping[str, Pull]
NONE: Shared = {}
_NO_PULL: Pull = (0.0, 0.0, 0.0)


def held(taken: doubts.Doubts) -> doubts.Doubts:
    """Return doubts that can be; raises OutOfRange for others, named ``offset_sd``."""
    for _, sd in taken:
        if not 0.0 <= sd <= MOST_SD:
            checked.within("offset_sd", sd, 0.0, MOST_SD)
    return taken


def first(taken: doubts.Doubts) -> Shared:
    """Return what the first reading of a baseline shares: it is the level."""
    return {key: (1.0, 0.0, sd) for key, sd in taken if sd > 0.0}


def ahead(shared: Shared, days: float) -> Shared:
    """Return what is shared some days later."""
    if not shared:
        return shared
    return {key: (level + days * rate, rate, sd) for key, (level, rate, sd) in shared.items()}


def read(
    shared: Shared, taken: doubts.Doubts, days: float, gain: float, rate_gain: float
) -> Shared:
    """Return what is shared after a reading, so many days after ``shared``, by the filter's gain.

    What is known of a key last counts. Each key's numbers are its own, whatever others there are.
    """
    if not taken and not shared:
        return shared
    stays, least_rate = 1.0 - gain, LEAST / _MONTH
    found: dict[str, Pull] = {}
    for key, (before, rate_before, sd) in shared.items():
        coming = before + days * rate_before
        level, rate = stays * coming, rate_before - rate_gain * coming
        if not (-LEAST < level < LEAST and -least_rate < rate < least_rate):
            found[key] = level, rate, sd
    for key, sd in taken:
        if sd > 0.0:
            level, rate, _ = found.get(key, _NO_PULL)
            found[key] = level + gain, rate + rate_gain, sd
    return found


def back(
    shared: Shared, later: Shared, days: float, gain: tuple[float, float, float, float]
) -> Shared:
    """Return what is shared in hindsight, by the smoother's gain, from what is some days later."""
    a, b, c, d = gain
    found = {}
    for key in shared.keys() | later.keys():
        level, rate, sd = shared.get(key, _NO_PULL)
        then, rate_then, sd_then = later.get(key, (0.0, 0.0, sd))
        off, rate_off = then - level - days * rate, rate_then - rate
        found[key] = (
            level + a * off + b * rate_off,
            rate + c * off + d * rate_off,
            max(sd, sd_then),
        )
    return found


def covariance(shared: Shared) -> tuple[float, float, float]:
    """Return what the offsets add to the covariance: of the level, of both, of the rate.

    The sums are exact, so the order of the keys, which a row does not keep, changes nothing.
    """
    pulls = shared.values()
    return (
        math.fsum((level * sd) ** 2 for level, _, sd in pulls),
        math.fsum(level * rate * sd * sd for level, rate, sd in pulls),
        math.fsum((rate * sd) ** 2 for _, rate, sd in pulls),
    )


def of(plain: Mapping[str, Sequence[float]] | None, series: str) -> Shared:
    """Return what a row's JSON holds.

    A row from before this was kept has nothing: then one hand of which nothing was found is taken
    to have made every reading, until the row is made again.
    """
    if plain is None:
        sd = doubts.unnamed(series)
        return {doubts.UNNAMED: (1.0, 0.0, sd)} if sd else NONE
    return {key: (level, rate, sd) for key, (level, rate, sd) in plain.items()}


def plain(shared: Shared) -> dict[str, list[float]]:
    """Return what is shared as a row's JSON holds it."""
    return {key: list(each) for key, each in shared.items()}
