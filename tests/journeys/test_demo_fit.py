"""The demo's biased assessor, its careless one and its tape that reads high are found by the maths.

What is to be found stands in ``fixtures/demo.json``, which is invented: the fit never sees it.
"""

import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from scoring.models import Assessor, Fit, Instrument, Standing
from scoring.queries import fits
from scoring.rules import fitted
from tests.journeys.test_demo_story import inside_of
from yards.rules import fixture


def told() -> dict[str, Any]:
    house: dict[str, Any] = fixture.load("demo")["organisations"][0]
    return house


@pytest.fixture
def found(demo: str, demo_keys: Path) -> Iterator[fits.InForce]:
    with inside_of(demo_keys, "coordinator"):
        yield fits.read(Fit.objects.latest("id"))


def hands(found: fits.InForce, kind: str) -> dict[str, Any]:
    """What was found of each of the house's people, by key."""
    rows = dict(Assessor.objects.values_list("name", "id"))
    names = {each["key"]: each["name"] for each in told()["people"]}
    of_key = getattr(found.of_series["five"].assessors, kind)
    return {
        key: of_key[str(rows[name])]
        for key, name in names.items()
        if name in rows and str(rows[name]) in of_key
    }


def test_the_hand_that_scores_high_is_found(found: fits.InForce) -> None:
    bias = told()["hands"]["tobias"]["bias"]
    offsets: dict[str, fitted.Offset] = hands(found, "offsets")
    others = [offsets[key].value for key in ("maud", "jonty")]
    apart = offsets["tobias"].value - sum(others) / len(others)
    doubt = math.hypot(offsets["tobias"].apart_sd, *(offsets[key].apart_sd for key in ("maud",)))
    assert apart == pytest.approx(bias, abs=3 * doubt)
    assert apart > 0.5 * bias
    assert max(offsets, key=lambda key: offsets[key].value) == "tobias"
    assert all(each.compared for each in offsets.values())


def test_the_careless_hand_is_found(found: fits.InForce) -> None:
    factors: dict[str, fitted.Factor] = hands(found, "factors")
    assert max(factors, key=lambda key: factors[key].times) == "jonty"
    assert factors["jonty"].times > 1.1


def test_the_tape_that_reads_high_is_found(found: fits.InForce) -> None:
    tape = told()["hands"]["maud"]["tape"]
    rows = dict(Instrument.objects.filter(kind="weigh_tape").values_list("label", "id"))
    offsets = found.of_series["weight"].instruments.offsets
    high = offsets[f"weigh_tape:{rows[tape['label']]}"]
    usual = offsets[f"weigh_tape:{rows[told()['tape']]}"]
    assert high.compared
    doubt = math.hypot(high.apart_sd, usual.apart_sd)
    assert high.value - usual.value == pytest.approx(math.log(tape["reads"]), abs=3 * doubt)
    assert high.value == max(each.value for each in offsets.values())
    assert math.exp(high.value) > 1.02


def test_every_standing_runs_by_it(found: fits.InForce) -> None:
    newest = Fit.objects.latest("id").id
    assert set(Standing.objects.values_list("fit_id", flat=True)) == {newest}
