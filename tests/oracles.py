"""The independent implementations that the measures are held against, loaded when first asked.

All of them together take seconds to load, which each process that collects the tests would spend.
"""

import importlib
from typing import Any


class Oracle:
    """A module of theirs, as if it were imported."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, name: str) -> Any:
        # Whoever collects tests asks each name of a module whether it be a class.
        if name.startswith("__"):
            raise AttributeError(name)
        return getattr(importlib.import_module(self._name), name)


krippendorff = Oracle("krippendorff")
pandas = Oracle("pandas")
pingouin = Oracle("pingouin")
metrics = Oracle("sklearn.metrics")
openapi_spec_validator = Oracle("openapi_spec_validator")

linalg = Oracle("scipy.linalg")
optimize = Oracle("scipy.optimize")
special = Oracle("scipy.special")
stats = Oracle("scipy.stats")

formulas = Oracle("statsmodels.formula.api")
inter_rater = Oracle("statsmodels.stats.inter_rater")
mixed_linear_model = Oracle("statsmodels.regression.mixed_linear_model")
nile = Oracle("statsmodels.datasets.nile")
proportion = Oracle("statsmodels.stats.proportion")

initialization = Oracle("statsmodels.tsa.statespace.initialization")
kalman_smoother = Oracle("statsmodels.tsa.statespace.kalman_smoother")
mlemodel = Oracle("statsmodels.tsa.statespace.mlemodel")
structural = Oracle("statsmodels.tsa.statespace.structural")
