"""No NaN, no infinity, no wrong kind goes in or comes out: each rule names the field at fault."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from scoring.rules import (
    agreement_alpha,
    agreement_limits,
    checked,
    energy,
    forage,
    seen,
    weight_change,
)
from tests.rules.animals import NOW, trend
from yards.rules import errors, identity, life_stage

NAN, INFINITE = Decimal("NaN"), Decimal("Infinity")
SCORES = [[1.0, 2.0], [2.0, 2.0], [3.0, 4.0], [5.0, 5.0]]


def weighed(kg: Any) -> seen.Weight:
    return seen.Weight(NOW, NOW, kg, "weighbridge")


def alpha(**given: Any) -> agreement_alpha.Interval:
    return agreement_alpha.interval(SCORES, generator=np.random.default_rng(1), **given)


INVALID: list[tuple[Callable[[], object], str]] = [
    (lambda: energy.megajoules(NAN), "mcal"),
    (lambda: energy.megajoules(Decimal("sNaN")), "mcal"),
    (lambda: energy.megajoules(-5.0), "mcal"),
    (lambda: energy.megajoules("5"), "mcal"),  # type: ignore[arg-type]
    (lambda: energy.megacalories(INFINITE), "mj"),
    (lambda: energy.megacalories(-1), "mj"),
    (lambda: weight_change.pace(date.max, []), "start_on"),
    (lambda: weight_change.pace(date.min, []), "start_on"),
    (lambda: weight_change.pace(date(2026, 1, 1), [(date.max, 500)]), "weighed_on"),
    (lambda: forage.dry_matter(1, []), "forage"),  # type: ignore[arg-type]
    (lambda: forage.floor("x"), "what"),
    (lambda: forage.floor([]), "what"),  # type: ignore[arg-type]
    (lambda: identity.transponder(None), "transponder"),  # type: ignore[arg-type]
    (lambda: identity.transponder(826123456789012), "transponder"),  # type: ignore[arg-type]
    (lambda: identity.ueln(None), "ueln"),  # type: ignore[arg-type]
    (lambda: identity.born(None), "born"),  # type: ignore[arg-type]
    (lambda: identity.born(2014), "born"),  # type: ignore[arg-type]
]
OUT_OF_RANGE: list[tuple[Callable[[], object], str]] = [
    *((lambda kg=kg: weighed(kg), "kg") for kg in (NAN, Decimal("sNaN"), INFINITE, Decimal(-5))),
    *((lambda kg=kg: weighed(kg), "kg") for kg in (Decimal(0), Decimal(10_001), 500.0, None)),
    (lambda: trend("five", 0.0, 0.1, level=float("nan")), "level"),
    (lambda: trend("five", 0.0, 0.1, level=float("inf")), "level"),
    (lambda: replace(trend("five", 0.0, 0.1), low=float("-inf")), "low"),
    (lambda: replace(trend("five", 0.0, 0.1), high=None), "high"),  # type: ignore[arg-type]
    (lambda: seen.Plan(NOW, "weight", float("inf")), "rate"),
    (lambda: seen.Plan(NOW, "weight", None), "rate"),  # type: ignore[arg-type]
    (lambda: alpha(draws=150.5), "draws"),
    (lambda: alpha(draws="200"), "draws"),
    (lambda: alpha(draws=True), "draws"),
    (lambda: alpha(confidence=None), "confidence"),
    (lambda: alpha(confidence=NAN), "confidence"),
    (lambda: alpha(confidence="0.95"), "confidence"),
    (lambda: agreement_limits.minimum_detectable_change(0.2, multiplier=None), "multiplier"),  # type: ignore[arg-type]
    (lambda: agreement_limits.minimum_detectable_change(0.2, multiplier="2"), "multiplier"),  # type: ignore[arg-type]
    (lambda: agreement_limits.minimum_detectable_change(None, multiplier=2), "error_sd"),  # type: ignore[arg-type]
]


@pytest.mark.parametrize(("asked", "field"), INVALID)
def test_what_people_send_is_refused_at_its_field(asked: Callable[[], object], field: str) -> None:
    with pytest.raises(errors.Invalid) as caught:
        asked()
    assert [each.field for each in caught.value.errors] == [field]


@pytest.mark.parametrize(("asked", "field"), OUT_OF_RANGE)
def test_what_rules_are_told_is_refused_at_its_field(
    asked: Callable[[], object], field: str
) -> None:
    with pytest.raises(checked.OutOfRange) as caught:
        asked()
    assert caught.value.field == field
    assert caught.value.allowed


@pytest.mark.parametrize("value", [None, "1", [], NAN, float("nan"), 3, -1, np.array([1, 1])])
def test_a_number_lies_within_or_is_refused_by_name(value: Any) -> None:
    with pytest.raises(checked.OutOfRange, match="x: 0 to 2"):
        checked.within("x", value, 0, 2)


def test_the_edges_of_a_weight_are_weights() -> None:
    assert weighed(Decimal(1)).kg == 1
    assert weighed(Decimal(10_000)).kg == 10_000


def test_a_latest_birth_before_the_earliest_is_refused() -> None:
    first = date(2014, 5, 1)
    with pytest.raises(life_stage.OutOfOrder, match="latest: 2014-04-30 lies before 2014-05-01"):
        life_stage.life_stage("horse", first, NOW.date(), latest=date(2014, 4, 30))
    same = life_stage.life_stage("horse", first, NOW.date(), latest=first)
    assert same == life_stage.life_stage("horse", first, NOW.date())


def test_an_instant_is_no_day_of_a_weighing() -> None:
    with pytest.raises(errors.Invalid):
        weight_change.pace(datetime(2026, 1, 1, tzinfo=UTC), [])
