"""Forage in kilograms: dry matter and as weighed out, its energy, and how little is too little.

Rows, sources and how sure each is: ``fixtures/forage.json``. Kilograms a day, per cents of dry
matter, megacalories of digestible energy. Dry matter is what is left without water: say on screen
which of the two a number is. Floors are shares of the weight that the animal has now.

The sources disagree on the floor: 1.5%, or 1.25% at least and 2% as the aim; here below 1.5% is a
caution, below 1.25% asks for a vet's signature, and below 1% nothing is ever worked out, signed or
not. All of it holds for horses: who may be fed by it is ``ration_guard``'s.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from functools import cache
from typing import Any

from scoring.rules import ration_input, ration_keys
from scoring.rules.ration_input import Value
from yards.rules import errors, fixture
from yards.rules.errors import FieldError

CAUTIONS = (*ration_keys.ALWAYS, *ration_keys.FORAGE)
# A day's feed of the heaviest at its wettest; ours.
FED_KG = (Decimal(0), Decimal(500))
# Forage as weighed out, from fresh grass to straw; ours.
DRY_MATTER_PERCENT = (Decimal(15), Decimal(95))
# Nobody eats more: ponies on good grass come near 5% (Longland, quoted elsewhere).
SHARE_PERCENT = (Decimal(0), Decimal(5))
_TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Forage:
    """One kind of forage; None is what no source gives, or what cannot be weighed.

    ``soaked`` is weighed dry, before soaking.
    """

    forage: str
    dry_matter_percent: Decimal | None
    energy: tuple[Decimal, Decimal] | None
    soaked: bool
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Allowance:
    """A day's forage. ``weigh_out_kg`` is as fed, rounded up to a tenth so as not to fall short.

    ``percent`` is dry matter as a share of the weight; ``cautions`` are keys of ``CAUTIONS``.
    """

    forage: str
    dry_matter_kg: Decimal
    as_fed_kg: Decimal
    weigh_out_kg: Decimal
    percent: Decimal
    energy_mcal: tuple[Decimal, Decimal] | None
    cautions: tuple[str, ...]


def _data() -> dict[str, Any]:
    found: dict[str, Any] = fixture.load("forage")
    return found


@cache
def forages() -> Mapping[str, Forage]:
    """Return every forage by its name."""
    return {row["forage"]: _forage(row) for row in _data()["forages"]}


def _forage(row: Mapping[str, Any]) -> Forage:
    dry, energy = row["dry_matter_percent"], row["energy"]
    return Forage(
        forage=row["forage"],
        dry_matter_percent=None if dry is None else Decimal(dry),
        energy=None if energy is None else (Decimal(energy[0]), Decimal(energy[1])),
        soaked=row["soaked"],
        source=row["source"],
        confidence=row["confidence"],
    )


def floor(what: str) -> Decimal:
    """Return the floor in use, per cent of weight: "usual", "signed" or "never_below".

    Raises Invalid for another.
    """
    used = {row["what"]: row["percent"] for row in _data()["floors"] if row["used"]}
    return Decimal(used[ration_input.choice("what", what, used)])


def dry_matter(as_fed_kg: Value, forage: str, dry_matter_percent: Value | None = None) -> Decimal:
    """Return the dry matter in what is weighed out; soaked hay is weighed before soaking.

    ``dry_matter_percent``, 15 to 95, is an analysis of this very forage and goes before the table
    (hay 90, dry haylage 70, wet haylage 50: Equine Vet Educ 2018, read). Soaking takes 10 to 20%
    of the dry matter (memory), counted as 20. Raises Invalid; grazing cannot be weighed.
    """
    fed = ration_input.number("as_fed_kg", as_fed_kg, *FED_KG)
    return fed * _left(forage, dry_matter_percent)


def as_fed(dm_kg: Value, forage: str, dry_matter_percent: Value | None = None) -> Decimal:
    """Return what to weigh out for an amount of dry matter; the other way of ``dry_matter``."""
    return ration_input.number("dm_kg", dm_kg, *FED_KG) / _left(forage, dry_matter_percent)


def _found(forage: str) -> Forage:
    return forages()[ration_input.choice("forage", forage, forages())]


def _left(forage: str, analysed: Value | None) -> Decimal:
    """Return the share of what is weighed out that is dry matter when it is eaten."""
    found = _found(forage)
    percent = found.dry_matter_percent
    if percent is None:
        raise errors.Invalid(FieldError("forage", "pasture_not_weighed"))
    if analysed is not None:
        percent = ration_input.number("dry_matter_percent", analysed, *DRY_MATTER_PERCENT)
    taken = _soaking_takes() if found.soaked else Decimal(0)
    return percent * (100 - taken) / 10000


@cache
def _soaking_takes() -> Decimal:
    return next(Decimal(row["percent"]) for row in _data()["soaking_takes"] if row["used"])


def energy(dm_kg: Value, forage: str) -> tuple[Decimal, Decimal] | None:
    """Return the typical energy of an amount of dry matter, from low to high, in Mcal (memory).

    None where no source gives any: haylage, and hay once soaked. Raises Invalid.
    """
    dm, found = ration_input.number("dm_kg", dm_kg, *FED_KG), _found(forage).energy
    return None if found is None else (dm * found[0], dm * found[1])


def energy_from_analysis(adf_percent: Value, protein_percent: Value) -> Decimal:
    """Return Mcal per kilogram of dry matter by acid detergent fibre and crude protein.

    4.22 - 0.11 ADF + 0.0332 CP + 0.00112 ADF^2, per cent of dry matter: from memory; a laboratory's
    print of one hay was 0.2 lower. ADF 15 to 49, for above that the formula rises again; CP 2 to
    32. Raises Invalid.
    """
    data = _data()["from_analysis"]
    adf = _analysed("adf_percent", adf_percent)
    protein = _analysed("protein_percent", protein_percent)
    of_adf = Decimal(data["adf"]) * adf + Decimal(data["adf_squared"]) * adf * adf
    return Decimal(data["constant"]) + of_adf + Decimal(data["protein"]) * protein


def _analysed(field: str, value: Value) -> Decimal:
    low, high = (Decimal(each) for each in _data()["from_analysis"][field])
    found = ration_input.number(field, value, Decimal(0), Decimal(100))
    if not low <= found <= high:
        params = {"low": str(low), "high": str(high)}
        raise errors.Invalid(FieldError(field, "analysis_beyond_formula", params))
    return found


def guard(dm_kg: Value, weight_kg: Value, *, is_signed: bool) -> tuple[str, ...]:
    """Return cautions on an amount of dry matter for an animal of the weight it has now.

    Below 1.5% of weight a caution; below 1.25% refused unless ``is_signed`` by a vet; below 1%
    refused, signed or not. Nothing is rounded before it is compared. Raises Invalid.
    """
    dm, kg = ration_input.number("dm_kg", dm_kg, *FED_KG), ration_input.weight(weight_kg)
    if dm * 100 < floor("never_below") * kg:
        raise _too_little("forage_never_below", dm, kg, "never_below")
    if dm * 100 < floor("signed") * kg:
        if not is_signed:
            raise _too_little("forage_needs_signature", dm, kg, "signed")
        return ("forage_below_usual_floor", "forage_signed_by_vet", "forage_needs_balancer")
    if dm * 100 < floor("usual") * kg:
        return ("forage_below_usual_floor", "forage_needs_balancer")
    return ()


def _too_little(key: str, dm: Decimal, kg: Decimal, what: str) -> errors.Invalid:
    """Return the refusal; its per cent is cut, never rounded up to the floor it is under."""
    percent = (dm * 10000 / kg).to_integral_value("ROUND_FLOOR") / 100
    params = {"percent": f"{percent:.2f}", "least": str(floor(what))}
    return errors.Invalid(FieldError("dm_kg", key, params))


def allowance(
    weight_kg: Value,
    percent: Value,
    forage: str,
    *,
    is_signed: bool = False,
    dry_matter_percent: Value | None = None,
) -> Allowance:
    """Return a day's forage of a share of weight in dry matter, guarded; raises Invalid."""
    kg = ration_input.weight(weight_kg)
    share = ration_input.number("percent", percent, *SHARE_PERCENT)
    dm = kg * share / 100
    fed, cautions = as_fed(dm, forage, dry_matter_percent), guard(dm, kg, is_signed=is_signed)
    mcal = energy(dm, forage)
    told = "forage_energy_unknown" if mcal is None else "forage_energy_is_typical"
    return Allowance(
        forage=forage,
        dry_matter_kg=dm,
        as_fed_kg=fed,
        weigh_out_kg=fed.quantize(_TENTH, ROUND_CEILING),
        percent=share,
        energy_mcal=mcal,
        cautions=tuple(
            dict.fromkeys((*ration_keys.ALWAYS, *cautions, *_of_soaking(_found(forage)), told))
        ),
    )


def _of_soaking(forage: Forage) -> tuple[str, ...]:
    if not forage.soaked:
        return ()
    return ("forage_weighed_before_soaking", "forage_soaking_unsure", "forage_needs_balancer")
