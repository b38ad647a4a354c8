"""Who gets no ration, restriction, gain or exercise step without a vet's plan, and who never."""

import itertools
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from scoring.rules import energy, forage, ration, ration_guard, ration_keys
from scoring.rules.ration_guard import COMPUTED, NEVER, PLAN_ALONE, VET_FIRST, Animal, Plan
from tests.outside import COMMON_PRACTICE, WITHIN_TOLERANCE, outside
from yards.rules import breeding, errors
from yards.rules.life_stage import LifeStage, Stage

NOW = datetime(2026, 4, 12, 9, 0, tzinfo=UTC)
DAY = timedelta(days=1)
PLAN = Plan("A. Vet", NOW - DAY, NOW + 30 * DAY)
GROWN = LifeStage(Stage.ADULT, Stage.ADULT)
WELL = Animal("horse", "light_horse", stage=GROWN, condition="known", weighed_days_ago=3)
CASES = {
    "emaciated": replace(WELL, is_emaciated=True),
    "sick": replace(WELL, is_sick=True),
    "laminitis": replace(WELL, laminitis_suspected=True),
    "donkey": replace(WELL, species="donkey", kind="standard_donkey"),
    "mule": replace(WELL, species="mule", kind="mule"),
    "growing": replace(WELL, stage=LifeStage(Stage.YEARLING, Stage.YEARLING)),
    "perhaps growing": replace(WELL, stage=LifeStage(Stage.ADULT, Stage.YOUNGSTER)),
    "kept as a youngster": replace(WELL, use="youngster", stage=ration_guard.UNKNOWN_AGE),
    "in foal": replace(WELL, bred=breeding.Bred(in_foal=breeding.YES)),
    "perhaps in foal": replace(WELL, bred=breeding.Bred(in_foal=breeding.PERHAPS)),
    "in milk": replace(WELL, bred=breeding.Bred(in_milk=True)),
    "never scored": replace(WELL, condition="unknown"),
}
FEEDING = ("ration", "restriction", "gain")


def answer(animal: Animal, purpose: str, plan: Plan | None = None) -> str:
    return ration_guard.judge(animal, purpose, plan, NOW).answer


def test_a_grown_healthy_horse_is_free() -> None:
    for purpose in ration_guard.PURPOSES:
        verdict = ration_guard.judge(WELL, purpose, None, NOW)
        assert verdict.may_compute
        assert verdict.reasons == ()
        assert verdict.cautions == (*ration_keys.ALWAYS, "ration_feed_never_cut_suddenly")


@outside(
    "no ration, restriction or gain for an emaciated, sick, growing or in-foal animal, a mare in "
    "milk, a donkey or mule, with laminitis suspected or never scored, without the vet",
    source="vets and charities; the consensus on laminitis and metabolic syndrome",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize("purpose", FEEDING)
@pytest.mark.parametrize("case", CASES)
def test_nobody_of_these_is_fed_by_arithmetic_without_a_plan(case: str, purpose: str) -> None:
    found = answer(CASES[case], purpose)
    assert found == (NEVER if (case, purpose) == ("emaciated", "restriction") else VET_FIRST)


@outside(
    "3 of 22 and 2 of 14 starved horses died or were put down when fed: no amount from a formula",
    source="Witham and Stull 1998, JAVMA 212:691-696; Stull 2003, Prof Anim Sci 19:47-54",
    status=WITHIN_TOLERANCE,
)
@pytest.mark.parametrize("plan", [None, PLAN])
def test_refeeding_is_never_computed_signed_or_not(plan: Plan | None) -> None:
    starved = CASES["emaciated"]
    for purpose in ration_guard.PURPOSES:
        assert answer(starved, purpose, plan) != COMPUTED
    assert answer(starved, "ration", PLAN) == answer(starved, "gain", PLAN) == PLAN_ALONE
    assert answer(starved, "restriction", PLAN) == answer(starved, "exercise", PLAN) == NEVER
    need = energy.maintenance(336)
    for percent in (Decimal("1.25"), 2, 3):
        with pytest.raises(errors.Invalid) as caught:
            ration.ration(starved, need, percent, "lucerne_hay", now=NOW, plan=plan)
        assert {each.key for each in caught.value.errors} == {"ration_emaciated"}
    with pytest.raises(errors.Invalid):
        ration.gain(starved, 336, 90, now=NOW, plan=plan)


@pytest.mark.parametrize("case", ["sick", "donkey", "mule", "growing", "perhaps growing"])
@pytest.mark.parametrize("purpose", FEEDING)
def test_where_there_are_no_tables_the_plan_stands_alone(case: str, purpose: str) -> None:
    assert answer(CASES[case], purpose, PLAN) == PLAN_ALONE


@pytest.mark.parametrize("case", ["in foal", "perhaps in foal", "in milk"])
def test_a_mare_has_tables_but_is_slimmed_or_fattened_by_the_plan_alone(case: str) -> None:
    mare = CASES[case]
    assert answer(mare, "ration", PLAN) == COMPUTED
    assert answer(mare, "restriction", PLAN) == answer(mare, "gain", PLAN) == PLAN_ALONE


@outside(
    "no exercise step when footsore or laminitis is suspected",
    source="farriers and vets",
    status=COMMON_PRACTICE,
)
@pytest.mark.parametrize("plan", [None, PLAN])
def test_no_exercise_on_sore_feet_signed_or_not(plan: Plan | None) -> None:
    for sore in (CASES["laminitis"], replace(WELL, is_footsore=True)):
        verdict = ration_guard.judge(sore, "exercise", plan, NOW)
        assert verdict.answer == NEVER
        assert "ration_no_exercise" in verdict.reasons
    assert answer(replace(WELL, is_footsore=True), "ration") == COMPUTED
    assert answer(CASES["laminitis"], "restriction", PLAN) == COMPUTED


def test_a_thin_animal_is_not_restricted_without_the_vet() -> None:
    thin = replace(WELL, is_thin=True)
    assert answer(thin, "restriction") == VET_FIRST
    assert answer(thin, "ration") == answer(thin, "gain") == COMPUTED


@pytest.mark.parametrize(
    ("at", "in_force"),
    [
        (PLAN.signed_at - timedelta(seconds=1), False),
        (PLAN.signed_at, True),
        (PLAN.until - timedelta(seconds=1), True),
        (PLAN.until, False),
    ],
)
def test_a_plan_counts_only_while_it_is_in_force(at: datetime, in_force: bool) -> None:
    found = ration_guard.judge(CASES["in milk"], "ration", PLAN, at)
    assert found.may_compute is in_force
    assert PLAN.is_in_force(at) is in_force


def test_the_gravest_reason_comes_first_and_all_are_named() -> None:
    both = replace(CASES["emaciated"], bred=breeding.Bred(in_foal=breeding.YES), is_sick=True)
    found = ration_guard.judge(both, "ration", None, NOW)
    assert found.reasons == ("ration_emaciated", "ration_sick", "ration_in_foal")
    assert set(found.reasons) <= set(ration_guard.REASONS)


def test_every_further_condition_makes_it_stricter_never_freer() -> None:
    names = ("is_emaciated", "is_thin", "is_sick", "laminitis_suspected", "is_footsore")
    rank = ration_guard.ANSWERS.index
    for flags in itertools.product((False, True), repeat=len(names)):
        animal = replace(WELL, **dict(zip(names, flags, strict=True)))  # type: ignore[arg-type]
        for name, purpose, plan in itertools.product(names, ration_guard.PURPOSES, (None, PLAN)):
            worse = replace(animal, **{name: True})  # type: ignore[arg-type]
            assert rank(answer(worse, purpose, plan)) >= rank(answer(animal, purpose, plan))
            assert rank(answer(animal, purpose, PLAN)) <= rank(answer(animal, purpose, None))


@pytest.mark.parametrize(
    ("animal", "caution"),
    [
        (replace(WELL, stage=ration_guard.UNKNOWN_AGE), "ration_age_unknown"),
        (replace(WELL, weighed_days_ago=None), "ration_weigh_again"),
        (replace(WELL, weighed_days_ago=29), "ration_weigh_again"),
        (replace(WELL, kind="pony"), "ration_pony_or_draught"),
        (replace(WELL, kind="draught"), "ration_pony_or_draught"),
    ],
)
def test_what_is_not_known_is_said(animal: Animal, caution: str) -> None:
    found = ration_guard.judge(animal, "ration", None, NOW)
    assert found.may_compute
    assert caution in found.cautions
    assert caution not in ration_guard.judge(WELL, "ration", None, NOW).cautions
    assert set(ration_keys.ALWAYS) <= set(found.cautions) <= set(ration_guard.CAUTIONS)


def test_every_answer_says_its_cautions_refusals_too() -> None:
    for animal, purpose in itertools.product(CASES.values(), ration_guard.PURPOSES):
        found = ration_guard.judge(animal, purpose, None, NOW)
        assert set(ration_keys.ALWAYS) <= set(found.cautions)


def test_a_ration_of_a_healthy_horse_beside_its_need() -> None:
    found = ration.ration(WELL, energy.maintenance(500), 2, "mature_grass_hay", now=NOW)
    assert found.forage.weigh_out_kg == Decimal("11.2")
    assert found.of_need is not None
    # 10 kg of dry matter hold 18 to 20 Mcal, and 16.65 are needed.
    assert [round(each) for each in found.of_need] == [108, 120]
    known = {*energy.CAUTIONS, *forage.CAUTIONS, *ration_guard.CAUTIONS}
    assert set(ration_keys.ALWAYS) <= set(found.cautions) <= known
    unknown = ration.ration(WELL, energy.maintenance(500), 2, "wet_haylage", now=NOW)
    assert unknown.of_need is None


def test_a_ration_below_the_floors_asks_for_a_signature_or_is_never_made() -> None:
    need = energy.maintenance(500)
    low, lower = Decimal("1.2"), Decimal("0.99")
    with pytest.raises(errors.Invalid) as caught:
        ration.ration(WELL, need, low, "mature_grass_hay", now=NOW)
    assert caught.value.errors[0].key == "forage_needs_signature"
    signed = ration.ration(WELL, need, low, "mature_grass_hay", now=NOW, plan=PLAN)
    assert "forage_signed_by_vet" in signed.cautions
    with pytest.raises(errors.Invalid) as caught:
        ration.ration(WELL, need, lower, "mature_grass_hay", now=NOW, plan=PLAN)
    assert caught.value.errors[0].key == "forage_never_below"


def test_less_than_the_usual_floor_is_a_restriction() -> None:
    need, thin = energy.maintenance(500), replace(WELL, is_thin=True)
    assert ration.ration(thin, need, Decimal("1.5"), "good_grass_hay", now=NOW)
    with pytest.raises(errors.Invalid) as caught:
        ration.ration(thin, need, Decimal("1.49"), "good_grass_hay", now=NOW)
    assert caught.value.errors[0].key == "ration_too_thin_to_restrict"


def test_a_mare_in_foal_is_fed_by_what_she_weighs_now() -> None:
    need = energy.gestation(500, 10)
    found = ration.ration(
        CASES["in foal"], need, 2, "good_grass_hay", now=NOW, plan=PLAN, weight_kg=548
    )
    assert found.forage.dry_matter_kg == Decimal("10.96")
    assert "ration_weight_before_foal" in found.cautions


def test_a_gain_of_a_healthy_horse_goes_out_with_both_sets_of_cautions() -> None:
    found = ration.gain(WELL, 500, 90, now=NOW)
    assert "ration_feed_never_cut_suddenly" in found.cautions
    assert "change_only_mid_scale" in found.cautions
    assert len(found.cautions) == len(set(found.cautions))


def test_a_loss_asks_the_guard_of_restrictions_first() -> None:
    found = ration.loss(WELL, 500, now=NOW)
    assert {"ration_feed_never_cut_suddenly", "change_first_week_left_out"} <= set(found.cautions)
    for case in CASES.values():
        with pytest.raises(errors.Invalid):
            ration.loss(case, 500, now=NOW)


@pytest.mark.parametrize(
    ("made", "field", "key"),
    [
        (lambda: answer(WELL, "slimming"), "purpose", "not_a_choice"),
        (lambda: answer(replace(WELL, species="zebra"), "ration"), "species", "not_a_choice"),
        (lambda: answer(replace(WELL, weighed_days_ago=-1), "ration"), "weighed_days_ago", None),
        (lambda: ration_guard.judge(WELL, "ration", None, NOW.replace(tzinfo=None)), "now", None),
        (lambda: answer(replace(WELL, condition=""), "ration"), "condition", "not_a_choice"),
        (lambda: Plan(" ", NOW, NOW + DAY), "vet", "plan_names_no_vet"),
        (lambda: Plan(None, NOW, NOW + DAY), "vet", "plan_names_no_vet"),  # type: ignore[arg-type]
        (lambda: Plan("A. Vet", NOW, None), "until", "not_an_instant"),  # type: ignore[arg-type]
        (lambda: Plan("A. Vet", NOW, NOW), "until", "plan_ends_before_it_begins"),
        (lambda: Plan("A. Vet", NOW.replace(tzinfo=None), NOW), "signed_at", "not_an_instant"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(made: Any, field: str, key: str | None) -> None:
    with pytest.raises(errors.Invalid) as caught:
        made()
    [fault] = caught.value.errors
    assert fault.field == field
    assert key is None or fault.key == key
