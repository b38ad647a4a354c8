"""The filter: against statsmodels, the Nile, matrix exponentials and regression lines."""

import math
import random
from datetime import timedelta

import numpy as np
import pytest

from scoring.rules import trend, trend_likelihood
from tests.oracles import linalg, nile, stats, structural
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside
from tests.rules import state_space
from tests.rules.state_space import FIRST, Seen, at, readings

MODELS = {
    "score": trend.SCORE,
    "weight": trend.WEIGHT,
    "a rate known to be 0 at first": trend.Model(0.0, 1e-6),
    "a rate that never changes": trend.Model(0.01, 0.0),
    "a level that wanders": trend.Model(0.0, 0.0, 1e-3),
    "all of it": trend.Model(0.02, 1e-5, 1e-3),
}
EVERY_MODEL = pytest.mark.parametrize("model", MODELS.values(), ids=MODELS)
STATSMODELS = "statsmodels, KalmanSmoother with an exact diffuse level, run beside ours"
NILE = "Durbin and Koopman 2012, chapter 2: its series and variances, figures worked out apart"
# Variances of the Nile's measurement and of its level from year to year, as the book has them.
NILE_NOISE, NILE_LEVEL = 15099.0, 1469.1
NILE_MODEL = trend.Model(0.0, 0.0, NILE_LEVEL)


def a_grid_with_gaps() -> list[Seen]:
    """Return invented fortnightly scores, every fifth of them missing."""
    rng = random.Random(11)
    return [
        Seen(14.0 * n, None if n % 5 == 3 else 3 + 0.02 * n + rng.gauss(0, 0.3), 0.3)
        for n in range(80)
    ]


def as_people_come() -> list[Seen]:
    """Return invented scores on irregular days by hands of several noises, some on one day."""
    rng, days, found = random.Random(12), 0.0, []
    for n in range(90):
        found.append(Seen(days, 2.5 + math.sin(n / 9) + rng.gauss(0, 0.3), rng.choice((0.2, 0.5))))
        days += rng.choice((0.01, 0.25, 1, 6, 13.5, 14, 28, 61, 119))
    return found


SERIES = {"a grid with gaps": a_grid_with_gaps(), "as people come": as_people_come()}
EVERY_SERIES = pytest.mark.parametrize("seen", SERIES.values(), ids=SERIES)


def row(state: trend.State) -> list[float]:
    return [state.level, state.rate, state.level_var, state.cross, state.rate_var]


def nile_readings() -> list[trend.Reading]:
    """Return the Nile's yearly flows, a year told as a day."""
    flows = nile.load_pandas().data["volume"]
    assert (len(flows), round(flows.mean(), 2)) == (100, 919.35)
    return readings([Seen(day, float(flow), NILE_NOISE**0.5) for day, flow in enumerate(flows)])


@EVERY_SERIES
@EVERY_MODEL
@outside(
    "filtered level, rate and covariance, fixed parameters, to 1e-9",
    source=STATSMODELS,
    status=WITHIN_TOLERANCE,
)
def test_the_filter_is_the_one_of_statsmodels(seen: list[Seen], model: trend.Model) -> None:
    result = state_space.solved(seen, model)
    theirs = state_space.rows(result.filtered_state, result.filtered_state_cov)
    taken = [n for n, each in enumerate(seen) if each.value is not None]
    ours = [row(state) for state in trend.filtered(readings(seen), model=model)]
    np.testing.assert_allclose(ours, theirs[taken], rtol=1e-9, atol=1e-12)


@EVERY_SERIES
@EVERY_MODEL
@outside(
    "log-likelihood of the trend, the first reading counting nothing, to 1e-9",
    source=STATSMODELS,
    status=WITHIN_TOLERANCE,
)
def test_the_likelihood_is_the_one_of_statsmodels(seen: list[Seen], model: trend.Model) -> None:
    theirs = state_space.solved(seen, model).llf - FIRST
    assert trend_likelihood.of(readings(seen), model=model) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("days", [0.01, 1.0, 14.0, 119.0])
@EVERY_MODEL
@outside(
    "how level, rate and covariance go over a time, to 1e-9",
    source="Van Loan 1978, IEEE Transactions on Automatic Control 23:395, by scipy.linalg.expm",
    status=WITHIN_TOLERANCE,
)
def test_a_time_is_crossed_as_the_matrix_exponential_says(model: trend.Model, days: float) -> None:
    drive, noise = np.array([[0.0, 1.0], [0.0, 0.0]]), np.diag([model.wander, model.drift])
    both = linalg.expm(np.block([[-drive, noise], [np.zeros((2, 2)), drive.T]]) * days)
    move = both[2:, 2:].T
    gained = move @ both[:2, 2:]
    before = trend.State("", 0.0, 0.0, 1, 3.0, 0.02, 0.09, 0.003, 0.0004)
    cov = move @ np.array([[0.09, 0.003], [0.003, 0.0004]]) @ move.T + gained
    expected = [*(move @ [3.0, 0.02]), cov[0, 0], cov[0, 1], cov[1, 1]]
    after = trend.ahead(before, days * trend.DAY, model)
    np.testing.assert_allclose(row(after), expected, rtol=1e-9)


@outside(
    "Nile: predictions and variances of the second and third year, at 15099 and 1469.1",
    source=NILE,
    status=FROM_MEMORY,
)
def test_the_nile_begins_as_from_the_book() -> None:
    first, second, *_ = trend.filtered(nile_readings(), model=NILE_MODEL)
    two = trend.ahead(first, first.at + trend.DAY, NILE_MODEL)
    assert two.level == 1120
    assert two.level_var == pytest.approx(16568.1, abs=0.05)
    assert two.level_var + NILE_NOISE == pytest.approx(31667.1, abs=0.05)
    three = trend.ahead(second, second.at + trend.DAY, NILE_MODEL)
    assert three.level == pytest.approx(1140.928, abs=0.0005)
    assert three.level_var == pytest.approx(9368.836, abs=0.0005)


@outside(
    "Nile: the steady variances and gain, and the last level, at 15099 and 1469.1",
    source=NILE,
    status=FROM_MEMORY,
)
def test_the_nile_settles_as_from_the_book() -> None:
    last = trend.refilter(nile_readings(), model=NILE_MODEL)
    assert last is not None
    assert last.level == pytest.approx(798.370, abs=0.0005)
    assert last.level_var == pytest.approx(4032.158, abs=0.0005)
    coming = trend.ahead(last, last.at + trend.DAY, NILE_MODEL)
    assert coming.level_var == pytest.approx(5501.258, abs=0.0005)
    gain = coming.level_var / (coming.level_var + NILE_NOISE)
    assert gain == pytest.approx(0.26705, abs=0.000005)


@outside(
    "Nile: log-likelihood, -632.5456 with the first year skipped, at 15098.5 and 1469.18",
    source=NILE,
    status=FROM_MEMORY,
)
def test_the_nile_is_as_likely_as_from_the_book() -> None:
    taken = [each._replace(noise=15098.5**0.5) for each in nile_readings()]
    found = trend_likelihood.of(taken, model=trend.Model(0.0, 0.0, 1469.18))
    assert found == pytest.approx(-632.5456, abs=0.00005)
    assert found + FIRST == pytest.approx(-633.4646, abs=0.00005)


@outside(
    "Nile: filtered levels, variances and log-likelihood of a local level, to 1e-9",
    source="statsmodels, UnobservedComponents with exact diffuse start, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_the_nile_is_as_statsmodels_has_it() -> None:
    model = structural.UnobservedComponents(
        nile.load_pandas().data["volume"], "llevel", use_exact_diffuse=True
    )
    theirs = model.smooth([NILE_NOISE, NILE_LEVEL])
    ours = list(trend.filtered(nile_readings(), model=NILE_MODEL))
    np.testing.assert_allclose([s.level for s in ours], theirs.filtered_state[0], rtol=1e-9)
    np.testing.assert_allclose([s.level_var for s in ours], theirs.filtered_state_cov[0, 0], 1e-9)
    likely = trend_likelihood.of(nile_readings(), model=NILE_MODEL)
    assert likely + FIRST == pytest.approx(theirs.llf, rel=1e-9)


@outside(
    "an unknown rate that never changes is the slope of the least squares line, to 1e-6",
    source="scipy.stats.linregress, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_a_rate_that_nothing_is_known_of_is_the_regression_line() -> None:
    rng = random.Random(13)
    days = sorted(rng.uniform(0, 400) for _ in range(30))
    values = [3 + 0.004 * day + rng.gauss(0, 0.3) for day in days]
    line = stats.linregress(days, values)
    seen = [Seen(day, value, 0.3) for day, value in zip(days, values, strict=True)]
    state = trend.refilter(readings(seen), model=trend.Model(1e3, 0.0))
    assert state is not None
    assert state.rate == pytest.approx(line.slope, rel=1e-6)
    assert state.level == pytest.approx(line.intercept + line.slope * days[-1], rel=1e-6)
    spread = sum((day - np.mean(days)) ** 2 for day in days)
    assert state.rate_var == pytest.approx(0.09 / spread, rel=1e-6)


@outside(
    "one reading corrected for its offset: the difference, its error the root sum of squares",
    source="Joint Committee for Guides in Metrology, JCGM 100:2008, 5.1.2",
    status=FROM_MEMORY,
)
def test_an_offset_is_taken_off_and_its_doubt_added() -> None:
    # The sign matters: who scores too high has the true level below what is written down.
    taken = trend.Reading(at(0), 4.0, 0.3, "five", offset=0.5, doubts=(("hand:ann", 0.4),))
    first = trend.take(None, taken)
    assert first.level == 3.5
    assert trend.whole(first).level_var == pytest.approx(0.3**2 + 0.4**2)
    # Its mean is what any reading's is: a doubt moves no level.
    before = trend.refilter(readings(a_grid_with_gaps()))
    later = taken._replace(at=at(1130))
    plain = trend.Reading(at(1130), 3.5, 0.3, "five")
    np.testing.assert_allclose(row(trend.take(before, later)), row(trend.take(before, plain)))


@outside(
    "one reading's density is the normal one of what was expected of it, to 1e-12",
    source="scipy.stats.norm.logpdf, run beside ours",
    status=WITHIN_TOLERANCE,
)
def test_one_reading_is_as_likely_as_the_normal_law_says() -> None:
    state = trend.refilter(readings(a_grid_with_gaps()))
    assert state is not None
    coming = trend.Reading(at(1130), 5.0, 0.3, "five")
    expected = trend.ahead(state, coming.at.timestamp(), trend.SCORE)
    spread = math.sqrt(expected.level_var + 0.09)
    theirs = stats.norm.logpdf(5.0, expected.level, spread)
    assert trend_likelihood.of_one(state, coming) == pytest.approx(theirs, rel=1e-12)
    far = coming._replace(at=coming.at + timedelta(days=200))
    assert trend_likelihood.of_one(state, far) == 0.0
    assert trend_likelihood.of_one(None, coming) == 0.0
    with pytest.raises(trend.OutOfOrder):
        trend_likelihood.of_one(state, coming._replace(at=at(5)))
