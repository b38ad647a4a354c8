"""A day's forage, a gain or a loss, for one animal: the doors that ask the guard first.

Then come the forage floors. What comes out is an estimate after NRC 2007 for light horses, by the
weight the animal has now, and the vet decides: the cautions say so.
"""

from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from scoring.rules import energy, forage, ration_guard, ration_input, weight_change
from scoring.rules import scale as scales
from scoring.rules.ration_input import Value
from yards.rules import breeding, errors
from yards.rules.errors import FieldError


@dataclass(frozen=True, slots=True)
class Ration:
    """A day's forage and what the animal needs.

    ``of_need`` is the forage's energy as per cent of the need, from low to high; None where no
    source gives the forage's energy. ``cautions`` go wherever the numbers go.
    """

    need: energy.Need
    forage: forage.Allowance
    of_need: tuple[Decimal, Decimal] | None
    cautions: tuple[str, ...]


def ration(
    animal: ration_guard.Animal,
    need: energy.Need,
    percent: Value,
    kind: str,
    *,
    now: datetime,
    plan: ration_guard.Plan | None = None,
    weight_kg: Value | None = None,
    dry_matter_percent: Value | None = None,
) -> Ration:
    """Return a day of one forage, ``percent`` of weight in dry matter, beside a need.

    Less than 1.5% counts as a restriction. ``weight_kg`` is the weight it has now where that is
    more than the need's; of a mare that is or may be in foal it must be given, as her need is by
    what she weighs without the foal. Raises Invalid: at "animal" with the reasons of the guard
    where nothing may be worked out, at its field for what cannot be taken or is too little.
    """
    share = ration_input.number("percent", percent, *forage.SHARE_PERCENT)
    restricts = share < forage.floor("usual")
    purpose = ration_guard.RESTRICTION if restricts else ration_guard.RATION
    cautions = ration_guard.require(animal, purpose, plan, now)
    fed = forage.allowance(
        _weight_now(animal, need, weight_kg),
        share,
        kind,
        is_signed=plan is not None and plan.is_in_force(now),
        dry_matter_percent=dry_matter_percent,
    )
    return Ration(
        need=need,
        forage=fed,
        of_need=_of_need(fed, need),
        cautions=tuple(dict.fromkeys((*cautions, *need.cautions, *fed.cautions))),
    )


def _weight_now(animal: ration_guard.Animal, need: energy.Need, weight_kg: Value | None) -> Decimal:
    """Return the weight that the floors go by: never less than the one that the need goes by."""
    if weight_kg is not None:
        return ration_input.number(
            "weight_kg", weight_kg, need.weight_kg, ration_input.WEIGHT_KG[1]
        )
    may_carry = animal.bred.in_foal != breeding.NO or "ration_weight_before_foal" in need.cautions
    if may_carry:
        raise errors.Invalid(FieldError("weight_kg", "required"))
    return need.weight_kg


def _of_need(fed: forage.Allowance, need: energy.Need) -> tuple[Decimal, Decimal] | None:
    if fed.energy_mcal is None:
        return None
    low, high = fed.energy_mcal
    return low * 100 / need.energy_mcal, high * 100 / need.energy_mcal


def gain(
    animal: ration_guard.Animal,
    weight_kg: Value,
    days: int,
    *,
    now: datetime,
    plan: ration_guard.Plan | None = None,
    scale: str = scales.NINE,
    is_approximate_enough: bool = False,
) -> weight_change.Gain:
    """Return what one score up asks of one animal; raises Invalid as ``ration`` does."""
    cautions = ration_guard.require(animal, ration_guard.GAIN, plan, now)
    found = weight_change.gain_in(
        weight_kg, days, scale, is_approximate_enough=is_approximate_enough
    )
    return replace(found, cautions=tuple(dict.fromkeys((*cautions, *found.cautions))))


def loss(
    animal: ration_guard.Animal,
    weight_kg: Value,
    *,
    now: datetime,
    plan: ration_guard.Plan | None = None,
    scale: str = scales.NINE,
    is_approximate_enough: bool = False,
) -> weight_change.Days:
    """Return how long one score down takes one animal; raises Invalid as ``ration`` does."""
    cautions = ration_guard.require(animal, ration_guard.RESTRICTION, plan, now)
    found = weight_change.days_to_lose(
        weight_kg, scale, is_approximate_enough=is_approximate_enough
    )
    return replace(found, cautions=tuple(dict.fromkeys((*cautions, *found.cautions))))
