"""Normal, t and F against scipy, against closed forms, and far out against exact sums."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import checked, distributions
from tests.oracles import special, stats
from tests.outside import FROM_MEMORY, WITHIN_TOLERANCE, outside

SCIPY = "scipy.stats and scipy.special, run beside ours"
DF = [0.3, 1.0, 2.0, 3.7, 19.0, 199.0, 3781.0, 250_000.0, 1e8]
SMALL_P = [1e-100, 1e-30, 1e-12, 1e-5, 0.001, 0.025, 0.05, 0.2, 0.4999]
# Below this a tail of scipy's, too, may have lost its digits.
THIN = 1e-200


def f_tails(f: float, df1: float, df2: float) -> tuple[float, float]:
    """Return scipy's tails of F, by way of whichever of x and 1 - x has all its digits."""
    a, b, x, rest = df1 / 2, df2 / 2, df1 * f / (df1 * f + df2), df2 / (df1 * f + df2)
    if x < rest:
        return float(special.betainc(a, b, x)), float(special.betaincc(a, b, x))
    return float(special.betaincc(b, a, rest)), float(special.betainc(b, a, rest))


@pytest.mark.parametrize("df2", DF)
@pytest.mark.parametrize("df1", DF)
@outside(
    "F distribution, both tails above 1e-200, 0.3 to 1e8 degrees of freedom, to 1e-10 of each",
    source=SCIPY,
    status=WITHIN_TOLERANCE,
)
def test_f_is_that_of_scipy(df1: float, df2: float) -> None:
    apart = math.sqrt(2 / df1 + 2 / df2)
    steps = [0.0, 0.1, -0.1, 0.7, -0.7, 2, -2, 5, -5, 15, -15]
    for f in (math.exp(each * min(apart, 5)) for each in steps):
        below, above = f_tails(f, df1, df2)
        if below > THIN:
            assert distributions.f_cdf(f, df1, df2) == pytest.approx(below, rel=1e-10)
        if above > THIN:
            assert distributions.f_sf(f, df1, df2) == pytest.approx(above, rel=1e-10)


@pytest.mark.parametrize("df", DF)
@outside(
    "t distribution, both tails above 1e-200, 0.3 to 1e8 degrees of freedom, to 1e-10 of each",
    source=SCIPY,
    status=WITHIN_TOLERANCE,
)
def test_t_is_that_of_scipy(df: float) -> None:
    for t in (1e-8, 0.01, 0.5, 1, 1.96, 4, 12, 28, 1e3, 1e9):
        near, above = (each / 2 for each in f_tails(t * t, 1, df))
        if above > THIN:
            assert distributions.t_sf(t, df) == pytest.approx(above, rel=1e-10)
            assert distributions.t_cdf(-t, df) == pytest.approx(above, rel=1e-10)
        assert distributions.t_cdf(t, df) == pytest.approx(0.5 + near, rel=1e-10)


@pytest.mark.parametrize("df2", DF[1:-1])
@pytest.mark.parametrize("df1", DF[1:-1])
@outside(
    "F quantiles: the tail at ours is the probability asked for, from 1e-100, to 1e-10 of it",
    source=SCIPY,
    status=WITHIN_TOLERANCE,
)
def test_f_quantiles_are_cut_off_where_scipy_has_it(df1: float, df2: float) -> None:
    for p in SMALL_P:
        low, high = distributions.f_quantile(p, df1, df2), distributions.f_critical(p, df1, df2)
        assert f_tails(low, df1, df2)[0] == pytest.approx(p, rel=1e-10)
        assert f_tails(high, df1, df2)[1] == pytest.approx(p, rel=1e-10)


@pytest.mark.parametrize("df", [1, 2, 5, 16, 199, 3781])
@outside(
    "t and F quantiles as scipy gives them, 0.005 to 0.995, to 1e-10",
    source=SCIPY,
    status=WITHIN_TOLERANCE,
)
def test_common_quantiles_are_those_of_scipy(df: int) -> None:
    for p in (0.005, 0.025, 0.1, 0.4, 0.5, 0.500001, 0.7, 0.975, 0.995):
        assert distributions.t_quantile(p, df) == pytest.approx(
            float(stats.t.ppf(p, df)), rel=1e-10, abs=1e-15
        )
        assert distributions.t_critical(p, df) == -distributions.t_quantile(p, df)
        for other in (1.0, 3.3, 41.7, 800.0):
            assert distributions.f_quantile(p, df, other) == pytest.approx(
                float(stats.f.ppf(p, df, other)), rel=1e-10
            )


@outside(
    "normal tails and quantiles to 1e-300, to 1e-10 of each", source=SCIPY, status=WITHIN_TOLERANCE
)
def test_the_normal_is_that_of_scipy() -> None:
    for x in (-37.0, -20.0, -5.0, -1.96, -1e-9, 0.0, 0.3, 3.0, 8.0, 37.0):
        assert distributions.normal_cdf(x) == pytest.approx(float(stats.norm.cdf(x)), rel=1e-10)
        assert distributions.normal_sf(x) == pytest.approx(float(stats.norm.sf(x)), rel=1e-10)
    for p in (1e-300, 1e-100, *SMALL_P, 0.5, 0.9, 0.975, distributions.MOST_P):
        quantile = distributions.normal_quantile(p)
        assert quantile == pytest.approx(float(stats.norm.ppf(p)), rel=1e-10, abs=1e-15)
        assert distributions.normal_critical(p) == -quantile


@pytest.mark.parametrize(
    ("f", "df1", "df2"),
    [
        (2.0**-22, 40, 6),
        (0.0234375, 388, 394),
        (2.0**-10, 90, 90),
        (1.0, 120, 4),
        (18.25, 240, 330),
        (2.0**300, 6, 6),
        (0.75, 2, 1000),
        (0.078125, 1700, 38),
    ],
)
@outside(
    "F tails down to 1e-270 for even degrees of freedom, by sums of fractions without rounding",
    source="Abramowitz and Stegun 1964, Handbook of mathematical functions, 26.5 and 26.6",
    status=FROM_MEMORY,
)
def test_thin_tails_are_those_of_the_exact_binomial_sums(f: float, df1: int, df2: int) -> None:
    a, trials = df1 // 2, (df1 + df2) // 2 - 1
    odds = Fraction(f) * df1 / df2
    terms = [math.comb(trials, j) * odds**j for j in range(trials + 1)]
    whole = (1 + odds) ** trials
    below, above = float(sum(terms[a:]) / whole), float(sum(terms[:a]) / whole)
    assert min(below, above) > 0
    assert distributions.f_cdf(f, df1, df2) == pytest.approx(below, rel=1e-10)
    assert distributions.f_sf(f, df1, df2) == pytest.approx(above, rel=1e-10)


@pytest.mark.parametrize("p", [1e-140, 1e-50, 1e-9, 0.01, 0.3, 0.4999999])
@outside(
    "t of 1 degree of freedom is Cauchy's, of 2 has a closed form, and F of 2 and 4, to 1e-10",
    source="Johnson, Kotz and Balakrishnan 1995, Continuous univariate distributions, 2nd edition",
    status=FROM_MEMORY,
)
def test_closed_forms_are_met(p: float) -> None:
    cauchy = -1 / math.tan(math.pi * p) if p < 0.25 else math.tan(math.pi * (p - 0.5))
    assert distributions.t_quantile(p, 1) == pytest.approx(cauchy, rel=1e-10)
    two = (2 * p - 1) / math.sqrt(2 * p * (1 - p))
    assert distributions.t_quantile(p, 2) == pytest.approx(two, rel=1e-9)
    assert distributions.f_critical(p, 2, 4) == pytest.approx(2 * (p**-0.5 - 1), rel=1e-10)


DEGREES = st.floats(1.0, 1e4)


@given(st.floats(1e-250, 1 - 1e-12), DEGREES, DEGREES)
def test_a_quantile_is_undone_by_its_tail(p: float, df1: float, df2: float) -> None:
    try:
        low, high = distributions.f_quantile(p, df1, df2), distributions.f_critical(p, df1, df2)
    except checked.OutOfRange:
        assert min(df1, df2) < 2  # so fat a tail that the quantile is no float
        return
    assert distributions.f_cdf(low, df1, df2) == pytest.approx(p, rel=1e-10)
    assert distributions.f_sf(high, df1, df2) == pytest.approx(p, rel=1e-10)


@given(st.floats(0.0, 1e292), st.floats(0.0, 1e292), st.floats(0.1, 1e5), st.floats(0.1, 1e5))
def test_a_distribution_rises_from_0_to_1(one: float, two: float, df1: float, df2: float) -> None:
    low, high = sorted((one, two))
    below = distributions.f_cdf(low, df1, df2), distributions.f_cdf(high, df1, df2)
    assert 0 <= below[0] <= below[1] + 1e-13 <= 1 + 1e-13
    assert below[0] + distributions.f_sf(low, df1, df2) == pytest.approx(1, rel=1e-12)


def test_the_ends_are_0_and_1() -> None:
    assert distributions.f_cdf(0, 3, 4) == 0
    assert distributions.f_sf(0, 3, 4) == 1
    assert distributions.f_sf(1e292, 3, 400) == 0
    assert distributions.t_cdf(0, 3) == 0.5
    assert distributions.t_quantile(0.5, 3) == 0
    assert distributions.t_sf(-1e146, 3) == 1
    assert distributions.normal_cdf(-1e150) == 0


@pytest.mark.parametrize(
    ("field", "call"),
    [
        ("p", lambda: distributions.normal_quantile(0.0)),
        ("p", lambda: distributions.t_quantile(1.0, 3)),
        ("p", lambda: distributions.f_critical(math.nan, 3, 3)),
        ("p", lambda: distributions.t_quantile(1e-200, 0.5)),
        ("df", lambda: distributions.t_sf(1.0, 0.0)),
        ("df1", lambda: distributions.f_cdf(1.0, math.inf, 3)),
        ("df2", lambda: distributions.f_quantile(0.5, 3, -1)),
        ("f", lambda: distributions.f_cdf(-1.0, 3, 3)),
        ("t", lambda: distributions.t_cdf(math.inf, 3)),
        ("x", lambda: distributions.normal_cdf(math.nan)),
    ],
)
def test_what_cannot_be_is_refused_by_name(field: str, call: object) -> None:
    assert callable(call)
    with pytest.raises(checked.OutOfRange) as refused:
        call()
    assert refused.value.field == field
