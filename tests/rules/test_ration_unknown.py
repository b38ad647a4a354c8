"""What nobody knows of an animal is never taken for well: its condition, and what it weighs now."""

from dataclasses import replace
from decimal import Decimal

import pytest

from scoring.rules import energy, ration, ration_guard
from scoring.rules.ration_guard import COMPUTED, VET_FIRST, Animal
from scoring.rules.ration_input import Value
from tests.outside import COMMON_PRACTICE, outside
from tests.rules.test_ration_guard import NOW, PLAN, WELL, answer
from yards.rules import breeding, errors

MARE = replace(WELL, bred=breeding.Bred(in_foal=breeding.YES))
HAY = "mature_grass_hay"


@outside(
    "an animal that nobody has felt may be emaciated: scored first, or fed as the vet says",
    source="charities and vets on animals that come in unknown",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize("purpose", ration_guard.PURPOSES)
def test_of_whom_nothing_is_known_nothing_is_worked_out(purpose: str) -> None:
    for unknown in (Animal("horse"), replace(WELL, condition="unknown")):
        verdict = ration_guard.judge(unknown, purpose, None, NOW)
        assert verdict.answer == VET_FIRST
        assert "ration_condition_unknown" in verdict.reasons
        assert answer(unknown, purpose, PLAN) == COMPUTED
    assert answer(WELL, purpose) == COMPUTED


def refused(animal: Animal, need: energy.Need, share: str, kg: Value | None) -> list[str]:
    with pytest.raises(errors.Invalid) as caught:
        ration.ration(animal, need, Decimal(share), HAY, now=NOW, plan=PLAN, weight_kg=kg)
    assert {each.field for each in caught.value.errors} == {"weight_kg"}
    return [each.key for each in caught.value.errors]


@pytest.mark.parametrize("kg", [200, Decimal("499.9"), float("nan"), 1501])
def test_no_weight_below_the_needs_walks_round_the_floor(kg: Value) -> None:
    assert refused(WELL, energy.maintenance(500), "2", kg) in (["out_of_range"], ["not_a_number"])
    heavier = ration.ration(WELL, energy.maintenance(500), 2, HAY, now=NOW, weight_kg=520)
    assert heavier.forage.dry_matter_kg == Decimal("10.4")


def test_a_refusal_names_the_needs_weight() -> None:
    with pytest.raises(errors.Invalid) as caught:
        ration.ration(WELL, energy.maintenance(500), 2, HAY, now=NOW, weight_kg=200)
    assert caught.value.errors[0].params == {"low": "500", "high": "1500"}


@pytest.mark.parametrize("in_foal", [breeding.YES, breeding.PERHAPS])
@pytest.mark.parametrize("share", ["1.5", "2"])
def test_a_mare_in_foal_is_fed_by_what_she_weighs_now_or_not_at_all(
    in_foal: str, share: str
) -> None:
    """1.5% of 500 kg is 1.34% of the 560 that she weighs with the foal: a restriction."""
    mare = replace(MARE, bred=breeding.Bred(in_foal=in_foal))
    assert refused(mare, energy.gestation(500, 11), share, None) == ["required"]
    found = ration.ration(
        mare, energy.gestation(500, 11), Decimal("1.5"), HAY, now=NOW, plan=PLAN, weight_kg=560
    )
    assert found.forage.dry_matter_kg == Decimal("8.4")
    # By the need alone too: it is written for a mare without her foal.
    assert refused(WELL, energy.gestation(500, 11), share, None) == ["required"]
