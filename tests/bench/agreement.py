"""The statistics of agreement beside the libraries that they are checked by.

Both arms are given the same scores, already in the form that each takes, and both tell the value;
ours tells its interval, too, as pingouin does for all six forms at once.
"""

from collections.abc import Iterator

import numpy as np

from scoring.rules import agreement_icc, agreement_kappa
from tests.bench import measure

HORSES, RATERS, PAIRS = 200, 20, 200


def scores(horses: int, raters: int) -> np.ndarray:
    """Return invented scores in half points, 0 to 5."""
    rng = np.random.default_rng(1)
    level, bias = rng.normal(3, 0.8, (horses, 1)), rng.normal(0, 0.2, (1, raters))
    made = level + bias + rng.normal(0, 0.4, (horses, raters))
    return np.asarray(np.clip(np.round(2 * made) / 2, 0, 5))


def comparisons(rounds: int) -> Iterator[measure.Comparison]:
    """Compare; a different answer is a fault, not a figure."""
    yield _icc(rounds)
    yield _kappa(rounds)


def _icc(rounds: int) -> measure.Comparison:
    import pandas as pd
    import pingouin

    table = scores(HORSES, RATERS)
    rows = [(horse, rater, score) for (horse, rater), score in np.ndenumerate(table)]
    long = pd.DataFrame(rows, columns=["horse", "rater", "score"])

    def ours() -> float:
        return agreement_icc.icc(table, agreement_icc.Form.TWO_SINGLE).value

    def theirs() -> float:
        found = pingouin.intraclass_corr(long, targets="horse", raters="rater", ratings="score")
        return float(found.set_index("Type").loc["ICC(A,1)", "ICC"])

    _must_agree(ours(), theirs())
    name, against = f"ICC(2,1), {RATERS} raters of {HORSES} horses", "pingouin, all six forms"
    return measure.compare(name, ours, against, theirs, rounds=rounds)


def _kappa(rounds: int) -> measure.Comparison:
    from sklearn.metrics import cohen_kappa_score

    one, two = scores(PAIRS, 2).T
    halves = (2 * one).astype(int), (2 * two).astype(int)
    levels = agreement_kappa.grid(0, 5, 0.5)
    labels = list(range(len(levels)))

    def ours() -> float:
        return agreement_kappa.kappa(one, two, levels=levels).estimate.value

    def theirs() -> float:
        return float(cohen_kappa_score(*halves, labels=labels, weights="quadratic"))

    _must_agree(ours(), theirs())
    name = f"quadratic kappa of {PAIRS} horses"
    return measure.compare(name, ours, "scikit-learn, no interval", theirs, rounds=rounds)


def _must_agree(ours: float, theirs: float) -> None:
    if abs(ours - theirs) > 1e-9:
        raise RuntimeError(f"{ours} is not {theirs}")
