"""Agreement between assessors: the public names of the modules beside this one.

``agreement_icc`` intraclass correlation, ``agreement_kappa`` two raters on levels,
``agreement_alpha`` any raters with scores missing, ``agreement_limits`` how far two scores lie
apart, ``agreement_assessors`` who scores high and who low, ``agreement_scores`` what all of them
take, give back and refuse. They load numpy: for workers, not for what serves a page.
"""

from scoring.rules.agreement_alpha import INTERVAL, NOMINAL, ORDINAL, alpha
from scoring.rules.agreement_alpha import Interval as AlphaInterval
from scoring.rules.agreement_alpha import interval as alpha_interval
from scoring.rules.agreement_assessors import Bias, Biases, biases, repeatabilities
from scoring.rules.agreement_icc import Form, MeanSquares, coefficient, icc, mean_squares
from scoring.rules.agreement_kappa import (
    LINEAR,
    NONE,
    QUADRATIC,
    Kappa,
    grid,
    kappa,
    of_counts,
    share_within,
)
from scoring.rules.agreement_limits import (
    Limits,
    Repeatability,
    limits,
    minimum_detectable_change,
    repeatability,
    single_score_sd,
)
from scoring.rules.agreement_scores import Estimate, TooFew, Undefined

__all__ = [
    "INTERVAL",
    "LINEAR",
    "NOMINAL",
    "NONE",
    "ORDINAL",
    "QUADRATIC",
    "AlphaInterval",
    "Bias",
    "Biases",
    "Estimate",
    "Form",
    "Kappa",
    "Limits",
    "MeanSquares",
    "Repeatability",
    "TooFew",
    "Undefined",
    "alpha",
    "alpha_interval",
    "biases",
    "coefficient",
    "grid",
    "icc",
    "kappa",
    "limits",
    "mean_squares",
    "minimum_detectable_change",
    "of_counts",
    "repeatabilities",
    "repeatability",
    "share_within",
    "single_score_sd",
]
