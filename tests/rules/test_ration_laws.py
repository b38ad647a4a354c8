"""Laws that energy, forage and changes of weight obey, over all that such an animal can weigh."""

import itertools
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scoring.rules import energy, forage, weight_change
from yards.rules import errors, units

KG = st.decimals(50, 1500, places=1)
MONTHS, MILK = range(1, 15), range(1, 7)
NEEDS: dict[str, Callable[[Decimal], energy.Need]] = {
    **{name: partial(energy.maintenance, level=name) for name in energy.LEVELS},
    **{name: partial(energy.work, load=name) for name in energy.LOADS},
    **{name: partial(energy.stallion, state=name) for name in energy.STALLIONS},
    **{f"foal {each}": partial(energy.gestation, month=each) for each in MONTHS},
    **{f"milk {each}": partial(energy.lactation, month=each) for each in MILK},
}
# Each needs no less than the one before it.
ORDERS = (
    energy.LEVELS,
    ("average", *energy.LOADS),
    energy.STALLIONS,
    ("average", *(f"foal {each}" for each in MONTHS)),
    ("elevated", *(f"milk {each}" for each in reversed(MILK))),
)
FED = [name for name in forage.forages() if name != "pasture"]


def numbers(need: energy.Need) -> tuple[Decimal, Decimal, Decimal]:
    return need.energy_mcal, need.protein_g, need.lysine_g


@given(st.sampled_from(sorted(NEEDS)), KG, KG)
def test_a_heavier_animal_never_needs_less(name: str, one: Decimal, other: Decimal) -> None:
    light, heavy = (numbers(NEEDS[name](kg)) for kg in sorted((one, other)))
    assert all(less <= more for less, more in zip(light, heavy, strict=True))
    assert all(each > 0 for each in light)


@given(st.sampled_from(ORDERS), KG)
def test_a_harder_class_never_needs_less(order: tuple[str, ...], kg: Decimal) -> None:
    for one, other in itertools.pairwise(NEEDS[name](kg) for name in order):
        for less, more in zip(numbers(one), numbers(other), strict=True):
            assert less <= more
        less_print, more_print = one.printed(), other.printed()
        assert all(a <= b for a, b in zip(less_print, more_print, strict=True))


@given(st.sampled_from(sorted(NEEDS)), st.decimals(120, 3300, places=1))
def test_pounds_make_the_same_need_as_kilograms(name: str, lb: Decimal) -> None:
    """All is in proportion to weight, whatever unit it was read in."""
    of_lb, of_kg = (numbers(NEEDS[name](each)) for each in (lb * units.KG_PER_LB, Decimal(500)))
    for here, there in zip(of_lb, of_kg, strict=True):
        assert here == pytest.approx(there * lb * units.KG_PER_LB / 500, rel=Decimal("1e-20"))


@given(st.decimals(0, 200, places=3))
def test_megajoules_and_megacalories_come_back(mcal: Decimal) -> None:
    assert energy.megacalories(energy.megajoules(mcal)) == mcal


@given(st.sampled_from(sorted(NEEDS)), KG)
def test_floats_and_decimals_make_the_same_need(name: str, kg: Decimal) -> None:
    assert NEEDS[name](float(kg)) == NEEDS[name](kg)  # type: ignore[arg-type]


@given(
    st.sampled_from(FED), st.decimals(0, 75, places=3), st.none() | st.decimals(15, 95, places=1)
)
def test_dry_matter_and_as_fed_come_back(kind: str, dm: Decimal, analysed: Decimal | None) -> None:
    fed = forage.as_fed(dm, kind, analysed)
    assert fed >= dm
    if fed <= forage.FED_KG[1]:
        back = forage.dry_matter(fed, kind, analysed)
        assert abs(back - dm) < Decimal("1e-20")


@given(st.sampled_from(FED), st.decimals(0, 100, places=2), st.decimals(0, 100, places=2))
def test_more_weighed_out_is_never_less_dry_matter_nor_pounds_another_share(
    kind: str, one: Decimal, other: Decimal
) -> None:
    less, more = (forage.dry_matter(each, kind) for each in sorted((one, other)))
    assert less <= more
    in_lb = forage.dry_matter(one * units.KG_PER_LB, kind)
    assert in_lb == pytest.approx(forage.dry_matter(one, kind) * units.KG_PER_LB, rel=1e-20)


@given(st.decimals(0, 90, places=4), KG, st.booleans())
def test_the_guard_lets_nothing_through_below_its_floors(
    dm: Decimal, kg: Decimal, is_signed: bool
) -> None:
    share = dm * 100 / kg
    try:
        cautions = forage.guard(dm, kg, is_signed=is_signed)
    except errors.Invalid as refused:
        [fault] = refused.errors
        assert share < Decimal(1) or (share < Decimal("1.25") and not is_signed)
        assert Decimal(str(fault.params["percent"])) < Decimal(str(fault.params["least"]))
        return
    assert share >= (1 if is_signed else Decimal("1.25"))
    assert ("forage_below_usual_floor" in cautions) is (share < Decimal("1.5"))
    assert ("forage_signed_by_vet" in cautions) is (share < Decimal("1.25"))


@given(KG, st.decimals("1.25", 5, places=2), st.sampled_from(FED))
def test_what_is_weighed_out_never_falls_short(kg: Decimal, share: Decimal, kind: str) -> None:
    found = forage.allowance(kg, share, kind)
    assert found.as_fed_kg <= found.weigh_out_kg < found.as_fed_kg + Decimal("0.1")
    if found.weigh_out_kg <= forage.FED_KG[1]:
        left = forage.dry_matter(found.weigh_out_kg, kind)
        assert left >= kg * share / 100 - Decimal("1e-20")


@given(st.decimals(15, 48, places=1), st.decimals(2, 31, places=1))
def test_more_fibre_is_less_energy_and_more_protein_more(adf: Decimal, protein: Decimal) -> None:
    here = forage.energy_from_analysis(adf, protein)
    assert Decimal(1) < here < Decimal(5)
    assert forage.energy_from_analysis(adf + 1, protein) < here
    assert forage.energy_from_analysis(adf, protein + 1) > here


@given(KG, KG, st.integers(45, 364))
def test_a_change_grows_with_weight_and_its_extra_falls_with_days(
    one: Decimal, other: Decimal, days: int
) -> None:
    light, heavy = (weight_change.gain_in(kg, days) for kg in sorted((one, other)))
    assert light.kg <= heavy.kg
    assert light.extra_mcal <= heavy.extra_mcal
    assert (
        weight_change.gain_in(one, days + 1).extra_mcal
        < weight_change.gain_in(one, days).extra_mcal
    )
    assert Decimal("0.031") < light.kg[0] / min(one, other) < Decimal("0.0401")


@given(KG, st.integers(60, 260))
def test_days_and_extra_energy_are_each_other_s_inverse(kg: Decimal, days: int) -> None:
    gain = weight_change.gain_in(kg, days)
    lean, rich = (weight_change.days_to_gain(kg, extra) for extra in gain.extra_mcal)
    assert days - 1 <= lean.low <= days
    assert days <= rich.high <= days + 1
    assert rich.low <= lean.low
    assert rich.high <= lean.high


@given(KG, st.permutations(range(8)), st.integers(0, 30))
def test_pace_hangs_on_days_not_on_the_order_they_came_in(
    kg: Decimal, order: list[int], step: int
) -> None:
    start = date(2026, 3, 2)
    readings = [(start + timedelta(7 * each), kg - Decimal(step * each) / 10) for each in range(8)]
    mixed = [readings[each] for each in order]
    if all(Decimal(50) <= value for _, value in readings):
        assert weight_change.pace(start, mixed) == weight_change.pace(start, readings)


@given(KG, st.decimals("0.01", "0.30", places=2))
def test_what_fell_in_the_first_week_changes_nothing(kg: Decimal, share: Decimal) -> None:
    start = date(2026, 3, 2)
    later = [(start + timedelta(7 + 7 * each), kg) for each in range(4)]
    heavier = min(kg * (1 + share), Decimal(1500))
    first = [(start, heavier), (start + timedelta(6), heavier)]
    assert weight_change.pace(start, [*first, *later]) == weight_change.pace(start, later)
