"""The normal, t and F distributions in plain Python: tails, and the values that cut them off.

A t or F tail is a regularised incomplete beta function: its continued fraction after DiDonato and
Morris 1992, ACM Transactions on Mathematical Software 18:360, with the front factor in the form of
Loader 2000, Fast and accurate computation of binomial probabilities (both from memory), which keep
their digits at large degrees of freedom. The numbers are held against scipy to a relative 1e-10,
and where scipy's own tails lose digits against exact sums of fractions.

Degrees of freedom 0.1 to 1e8, not only whole ones. ``sf`` is the upper tail, 1 - cdf without the
loss of digits; ``quantile`` has a probability below it, ``critical`` one above it. Probabilities
are asked for from 1e-300 up to what a float has below 1. Tails too thin for a float are 0. All
functions raise OutOfRange, naming field and range.
"""

import math
import statistics
from typing import NamedTuple

from scoring.rules import checked

LEAST_DF, MOST_DF = 0.1, 1e8
LEAST_P, MOST_P = 1e-300, math.nextafter(1.0, 0.0)
MOST_X, MOST_T, MOST_F = 1e150, 1e146, 1e292
# Odds of a beta variable, of which t and F are multiples: below the least a tail is none or all.
LEAST_ODDS = 1e-300
# Where a quantile is looked for, as the logarithm of its odds.
_MOST_LOG = math.log(1e290)
_NORMAL = statistics.NormalDist()
_LN_2PI = math.log(2 * math.pi)
_SMALL = 0.3  # below it a logarithm less its argument loses digits
_STIRLING_FROM = 10.0
_STIRLING = (
    1 / 12,
    -1 / 360,
    1 / 1260,
    -1 / 1680,
    1 / 1188,
    -691 / 360360,
    1 / 156,
    -3617 / 122400,
)
_TINY, _STEPS = 1e-300, 20_000
# A step of Newton's after which the next would be lost in rounding.
_NEAR = 1e-11


class _Beta(NamedTuple):
    """A beta variable, of shapes ``a`` and ``b``: half the degrees of freedom."""

    a: float
    b: float


class _Tails(NamedTuple):
    """Probabilities below and above, and the density of the logarithm of the odds."""

    below: float
    above: float
    density: float


def normal_cdf(x: float) -> float:
    """Return the standard normal probability below ``x``, up to 1e150 either way."""
    checked.within("x", x, -MOST_X, MOST_X)
    return 0.5 * math.erfc(-x / math.sqrt(2))


def normal_sf(x: float) -> float:
    """Return the standard normal probability above ``x``, up to 1e150 either way."""
    return normal_cdf(-x)


def normal_quantile(p: float) -> float:
    """Return the value with a standard normal probability ``p`` below it."""
    return _NORMAL.inv_cdf(_probability(p))


def normal_critical(p: float) -> float:
    """Return the value with a standard normal probability ``p`` above it."""
    return -normal_quantile(p)


def t_cdf(t: float, df: float) -> float:
    """Return Student's probability below ``t``, which is up to 1e146 either way."""
    return t_sf(-t, df)


def t_sf(t: float, df: float) -> float:
    """Return Student's probability above ``t``, which is up to 1e146 either way."""
    checked.within("t", t, -MOST_T, MOST_T)
    shape = _Beta(0.5, _df("df", df) / 2)
    odds = t * t / df
    if odds < LEAST_ODDS:
        return 0.5
    tails = _tails(odds, shape)
    return 0.5 * tails.above if t > 0 else 0.5 + 0.5 * tails.below


def t_quantile(p: float, df: float) -> float:
    """Return the value with Student's probability ``p`` below it."""
    _probability(p)
    shape = _Beta(0.5, _df("df", df) / 2)
    within = abs(1 - 2 * p)
    if within == 0:
        return 0.0
    outside = 2 * min(p, 1 - p)
    odds = _odds(within, shape, upper=False) if within < 0.5 else _odds(outside, shape, upper=True)
    return math.copysign(math.sqrt(odds) * math.sqrt(df), p - 0.5)


def t_critical(p: float, df: float) -> float:
    """Return the value with Student's probability ``p`` above it."""
    return -t_quantile(p, df)


def f_cdf(f: float, df1: float, df2: float) -> float:
    """Return Fisher's probability below ``f``, the ratio of two variances, 0 to 1e292."""
    return _f_tails(f, df1, df2).below


def f_sf(f: float, df1: float, df2: float) -> float:
    """Return Fisher's probability above ``f``, the ratio of two variances, 0 to 1e292."""
    return _f_tails(f, df1, df2).above


def f_quantile(p: float, df1: float, df2: float) -> float:
    """Return the ratio of two variances with Fisher's probability ``p`` below it."""
    shape = _Beta(_df("df1", df1) / 2, _df("df2", df2) / 2)
    return _odds(_probability(p), shape, upper=False) * (df2 / df1)


def f_critical(p: float, df1: float, df2: float) -> float:
    """Return the ratio of two variances with Fisher's probability ``p`` above it."""
    shape = _Beta(_df("df1", df1) / 2, _df("df2", df2) / 2)
    return _odds(_probability(p), shape, upper=True) * (df2 / df1)


def _f_tails(f: float, df1: float, df2: float) -> _Tails:
    checked.within("f", f, 0.0, MOST_F)
    shape = _Beta(_df("df1", df1) / 2, _df("df2", df2) / 2)
    odds = f * (df1 / df2)
    return _tails(odds, shape) if odds >= LEAST_ODDS else _Tails(0.0, 1.0, 0.0)


def _df(field: str, value: float) -> float:
    return checked.within(field, value, LEAST_DF, MOST_DF)


def _probability(p: float) -> float:
    return checked.within("p", p, LEAST_P, MOST_P)


def _tails(odds: float, shape: _Beta) -> _Tails:
    """Return the tails of a beta variable x at the odds x / (1 - x)."""
    a, b = shape
    density = math.exp(_log_density(odds, shape))
    x, rest = odds / (1 + odds), 1 / (1 + odds)
    off = (a - odds * b) / (1 + odds)
    if off >= 0:
        below = min(density / _fraction(x, rest, off, shape), 1.0)
        return _Tails(below, 1 - below, density)
    above = min(density / _fraction(rest, x, -off, _Beta(b, a)), 1.0)
    return _Tails(1 - above, above, density)


def _log_density(odds: float, shape: _Beta) -> float:
    """Return the logarithm of x**a (1 - x)**b / B(a, b), as its fall from where it is highest."""
    a, b = shape
    off = (odds * b - a) / (1 + odds)
    fall = a * _fall(off / a, -math.log1p(1 / odds) - math.log(a / (a + b)))
    fall += b * _fall(-off / b, -math.log1p(odds) - math.log(b / (a + b)))
    top = 0.5 * (math.log(a) + math.log(b / (a + b)) - _LN_2PI)
    return fall + top - _stirling(a) - _stirling(b) + _stirling(a + b)


def _fall(u: float, log: float) -> float:
    """Return ln(1 + u) - u, where ``log`` is ln(1 + u) for a ``u`` that is not small."""
    if abs(u) > _SMALL:
        return log - u
    w = u / (2 + u)
    square, total, power, k = w * w, 0.0, 1.0, 3
    while power > 1e-18:
        total += power / k
        power *= square
        k += 2
    return 2 * w * square * total - u * w


def _stirling(a: float) -> float:
    """Return by how much the logarithm of the gamma function is over Stirling's formula."""
    if a < _STIRLING_FROM:
        return math.lgamma(a) - ((a - 0.5) * math.log(a) - a + 0.5 * _LN_2PI)
    total, power = 0.0, 1 / a
    for each in _STIRLING:
        total += each * power
        power /= a * a
    return total


def _fraction(x: float, rest: float, off: float, shape: _Beta) -> float:
    """Return the continued fraction of the incomplete beta function, by Lentz's method.

    ``rest`` is 1 - x and ``off`` a (1 - x) - b x, both with all their digits.
    """
    a, b = shape
    found = c = a * (off + 1) / (a + 1)
    d = 0.0
    for m in range(1, _STEPS):
        middle = a + 2 * m
        over = (a + m - 1) * (a + b + m - 1) * m * (b - m) * (x / (middle - 1)) ** 2
        under = m + m * (b - m) * x / (middle - 1)
        under += (a + m) * (off + 1 + m * (1 + rest)) / (middle + 1)
        d = 1 / _kept(under + over * d)
        c = _kept(under + over / c)
        found *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return found


def _kept(value: float) -> float:
    """Return a divisor, kept away from 0."""
    return value if abs(value) > _TINY else _TINY


def _odds(p: float, shape: _Beta, *, upper: bool) -> float:
    """Return the odds that a beta variable is below, or above, with probability ``p``.

    Newton's steps on the logarithm of the smaller tail against that of the odds, in a bracket.
    """
    if p > 0.5:
        p, upper = 1 - p, not upper
    wanted = math.log(p)
    low, high = -_MOST_LOG, _MOST_LOG
    at = _guess(-_NORMAL.inv_cdf(p) if upper else _NORMAL.inv_cdf(p), shape)
    for _ in range(400):
        tails = _tails(math.exp(at), shape)
        tail = tails.above if upper else tails.below
        off = math.log(tail) - wanted if tail > 0 else -math.inf
        low, high = (low, at) if (off < 0) == upper else (at, high)
        slope = (-tails.density if upper else tails.density) / tail if tail > 0 else 0.0
        step = -off / slope if slope else math.inf
        if abs(step) <= _NEAR:
            at += step
            break
        at = at + step if low < at + step < high else (low + high) / 2
    if abs(at) > _MOST_LOG - 1:
        raise checked.OutOfRange("p", "one whose quantile is within 1e-145 to 1e145")
    return math.exp(at)


def _guess(z: float, shape: _Beta) -> float:
    """Return about where the logarithm of the odds is, so many standard deviations off."""
    a, b = shape
    return max(-600.0, min(600.0, math.log(a / b) + z * math.sqrt(1 / a + 1 / b)))
