"""One organisation's hands, instruments and animals, worked out from all its readings of a series.

Found together, by the likelihood of all readings, with the offsets' law integrated out and every
level diffuse: the noise of each method, how rates start and drift, and how far offsets lie from 0.
Each is drawn towards its default by a wide normal law of its logarithm, since the defaults are from
memory. Between these, each hand's and each instrument's own noise is a factor on its method's, by
the expectation-maximisation step from smoothed residuals (Shumway and Stoffer 1982, Journal of Time
Series Analysis 3:253, from memory), drawn towards 1 as by ``FACTOR_READINGS`` readings of it. Last
come the offsets, by ``trend_offsets``. Nothing is random. Only a worker loads this.
"""

from dataclasses import replace

import numpy as np

from scoring.rules import checked, fitted, trend_batch, trend_case, trend_offsets, trend_told
from scoring.rules import trend_search as search
from scoring.rules.trend_case import Case, Keys, Readings
from scoring.rules.trend_panel import Floats
from scoring.rules.trend_prior import PRIORS, Guess, Prior

# With fewer readings, or fewer horses with enough for a rate, the defaults stand: our choice.
FEWEST_READINGS, FEWEST_HORSES = 60, 5
# The likelihood is climbed on about so many readings, of horses evenly chosen.
MOST_READINGS = 20_000
FACTOR_READINGS = 20.0
# How far each round first looks, in logarithms; and how often noises are sharpened after it.
REACHES, SHARPENINGS = (0.4, 0.1, 0.1, 0.1, 0.1), 3
# A round in which no logarithm moved by more than this is the last.
SETTLED = 0.01
# How many times more or less than its default a number may become.
MOST_NOISE, MOST_DRIFT, MOST_RATE, MOST_OFFSET = 20.0, 1e4, 1e2, 30.0


def fit(readings: Readings, series: str, prior: Prior | None = None) -> fitted.Fit:
    """Return what one organisation's readings say of one series; ``trend_prior`` has defaults.

    Raises OutOfRange for arrays of different lengths, for a time or a value that is not finite, and
    for a series or method that has no default.
    """
    prior = prior or _default(series)
    case = trend_case.of(readings, series, prior.true_methods)
    _known(case, prior)
    guess = first = Guess.first(case, prior)
    before = trend_batch.log_likelihood(
        case.panel, case.value, first.noises(case), model=prior.model
    )
    if case.value.size < FEWEST_READINGS or case.followed() < FEWEST_HORSES:
        return trend_told.unfitted(series, case, prior, before)
    part = case.thinned(MOST_READINGS)
    for reach in REACHES:
        old = guess
        guess = sharpened(case, climbed(part, old, first, prior, reach=reach))
        if _apart(old, guess) < SETTLED:
            break
    found = trend_told.Found(guess, *solved(case, guess), before)
    return trend_told.told(series, case, prior, found)


def _default(series: str) -> Prior:
    if series not in PRIORS:
        raise checked.OutOfRange("series", ", ".join(sorted(PRIORS)))
    return PRIORS[series]


def _known(case: Case, prior: Prior) -> None:
    methods = case.rows.methods
    if not prior.noise.keys() >= set(methods.names) or (methods.code < 0).any():
        raise checked.OutOfRange("method", ", ".join(sorted(prior.noise)))


def climbed(
    case: Case, guess: Guess, first: Guess, prior: Prior, *, reach: float = REACHES[0]
) -> Guess:
    """Return the guess at the top of the likelihood, each number drawn towards its first."""
    origin, many = first.vector(), guess.noise.size
    moves = origin > 0.0
    spread = np.array(
        [prior.noise_spread] * many
        + [2 * prior.model_spread, prior.model_spread]
        + [prior.offset_spread] * 2
    )[moves]
    widest = np.log([MOST_NOISE] * many + [MOST_DRIFT, MOST_RATE] + [MOST_OFFSET] * 2)[moves]
    centre = np.log(origin[moves])

    def at(logs: Floats) -> Guess:
        to = origin.copy()
        to[moves] = np.exp(logs)
        return guess.moved(to)

    def height(logs: Floats) -> float:
        off = (logs - centre) / spread
        return solved(case, at(logs))[1].log_likelihood - 0.5 * float(off @ off)

    start = np.log(guess.vector()[moves])
    low, high = centre - widest, centre + widest
    top, _ = search.climb(height, start, low=low, high=high, reach=reach)
    return at(top)


def solved(case: Case, guess: Guess) -> tuple[trend_offsets.System, trend_offsets.Effects]:
    """Return the equations of the offsets under a guess, and what solves them."""
    system = trend_offsets.system(case.design, case.value, guess.noises(case), guess.model)
    return system, trend_offsets.solved(system, guess.sds())


def sharpened(case: Case, guess: Guess) -> Guess:
    """Return the guess with each hand's and instrument's noise nearer to what its residuals are."""
    for _ in range(SHARPENINGS):
        offsets = trend_offsets.added(case.design, solved(case, guess)[1].value)
        noise = guess.noises(case)
        known = trend_batch.smoothed(case.panel, case.value - offsets, noise, model=guess.model)
        error = ((case.value - offsets - known.level) ** 2 + known.level_var) / noise**2
        hands = _factors(case.rows.assessors, guess.times[0], error)
        # The instruments account for what the hands do not.
        error /= (np.append(hands / guess.times[0], 1.0) ** 2)[case.rows.assessors.code]
        guess = replace(
            guess, times=(hands, _factors(case.rows.instruments, guess.times[1], error))
        )
    return guess


def _factors(keys: Keys, times: Floats, error: Floats) -> Floats:
    """Return factors of noise, given errors squared over the variances that the factors made."""
    has = keys.code >= 0
    many = len(keys.names)
    count = np.bincount(keys.code[has], minlength=many)
    total = np.bincount(keys.code[has], weights=error[has], minlength=many) * times**2
    return np.sqrt((total + FACTOR_READINGS) / (count + FACTOR_READINGS))


def _apart(one: Guess, two: Guess) -> float:
    """Return the most that any logarithm differs by."""
    pairs = [(one.vector(), two.vector()), *zip(one.times, two.times, strict=True)]
    changed = [np.abs(np.log(b[a > 0] / a[a > 0])).max(initial=0.0) for a, b in pairs]
    return float(max(changed))
