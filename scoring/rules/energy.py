"""What a grown horse needs in a day: digestible energy, crude protein and lysine, after NRC 2007.

Formulas and rows: ``fixtures/energy.json``. The book (ISBN 978-0-309-10212-4) was not at hand: its
figures are from memory, and six of its 500 kg values agree with what others quote. Weights are
kilograms from 50 to 1500, energy is megacalories of digestible energy (1 Mcal is 4.184 MJ), protein
and lysine are grams. All in decimals, so that 16.65 prints as 16.7, half up, as the tables do.

Requirements are no ration: not for slimming, not for feeding up a starved animal, not for donkeys
or mules, and there is nothing here on growth. Who may be shown more is ``ration_guard``'s.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from scoring.rules import ration_input, ration_keys
from scoring.rules.ration_input import Value
from yards.rules import fixture

LEVELS = ("minimum", "average", "elevated")
LOADS = ("light", "moderate", "heavy", "very_heavy")
STALLIONS = ("idle", "breeding")
# A mare may carry for 400 days, into her fourteenth month.
GESTATION_MONTHS = (1, 14)
LACTATION_MONTHS = (1, 6)
# Energy of a day's feed or need; the heaviest in the hardest work needs near 100. Ours.
MCAL = (Decimal(0), Decimal(1000))
CAUTIONS = (*ration_keys.ALWAYS, *ration_keys.NEEDS)
_KCAL = Decimal(1000)
_GRAMS = Decimal(1000)
_ALWAYS = (*ration_keys.ALWAYS, "ration_not_for_slimming", "ration_surroundings")


@dataclass(frozen=True, slots=True)
class Need:
    """What a day asks, exactly; ``printed`` rounds. ``confidence`` is how sure the source is.

    ``cautions`` are keys of ``CAUTIONS``; they go wherever the numbers go.
    """

    weight_kg: Decimal
    energy_mcal: Decimal
    protein_g: Decimal
    lysine_g: Decimal
    source: str
    confidence: str
    cautions: tuple[str, ...]

    @property
    def energy_mj(self) -> Decimal:
        """The energy in megajoules."""
        return megajoules(self.energy_mcal)

    def printed(self) -> tuple[Decimal, Decimal, Decimal]:
        """Return Mcal to a tenth, protein to a gram, lysine to a tenth, half up as in tables."""
        return (
            ration_input.rounded(self.energy_mcal, "0.1"),
            ration_input.rounded(self.protein_g, "1"),
            ration_input.rounded(self.lysine_g, "0.1"),
        )


def _data() -> dict[str, Any]:
    found: dict[str, Any] = fixture.load("energy")
    return found


def _row(table: str, name: str, value: str | int) -> Mapping[str, Any]:
    return next(row for row in _data()[table] if row[name] == value)


def megajoules(mcal: Value) -> Decimal:
    """Return 0 to 1000 megacalories as megajoules, times 4.184 (NRC 2007, read); raises Invalid."""
    return ration_input.number("mcal", mcal, *MCAL) * _mj_per_mcal()


def megacalories(mj: Value) -> Decimal:
    """Return 0 to 4184 megajoules as megacalories; raises Invalid."""
    low, high = (each * _mj_per_mcal() for each in MCAL)
    return ration_input.number("mj", mj, low, high) / _mj_per_mcal()


def _mj_per_mcal() -> Decimal:
    return Decimal(_data()["mj_per_mcal"]["value"])


def maintenance(weight_kg: Value, level: str = "average") -> Need:
    """Return the need of a grown horse without work, by ``LEVELS``; raises Invalid.

    30.3, 33.3 or 36.3 kcal and 1.08, 1.26 or 1.44 g of protein per kilogram: NRC 2007, from memory;
    16.7 Mcal and 630 g at 500 kg are quoted elsewhere.
    """
    kg = ration_input.weight(weight_kg)
    row = _row("maintenance", "level", ration_input.choice("level", level, LEVELS))
    return _need(kg, _energy(row, kg), _protein(row, kg), row)


def work(weight_kg: Value, load: str) -> Need:
    """Return the need of a grown horse in work, by ``LOADS``; raises Invalid.

    Energy is the average level times 1.2, 1.4 or 1.6; very heavy work is the elevated level, 36.3,
    times 1.9. Protein is the average level, and for muscle and for sweat: NRC 2007, from memory;
    26.6 Mcal for heavy and 699 g for light work at 500 kg are quoted elsewhere.
    """
    kg = ration_input.weight(weight_kg)
    row = _row("work", "load", ration_input.choice("load", load, LOADS))
    mcal = _energy(_row("maintenance", "level", row["of"]), kg) * Decimal(row["times"])
    protein = _protein(_row("maintenance", "level", "average"), kg) + _of_load(row, kg)
    return _need(kg, mcal, protein, row)


def stallion(weight_kg: Value, state: str) -> Need:
    """Return the need of a stallion, idle or breeding; raises Invalid.

    The elevated level; breeding, a fifth more energy and the protein of light work's muscle and
    sweat on top. NRC 2007, from memory.
    """
    kg = ration_input.weight(weight_kg)
    row = _row("stallion", "state", ration_input.choice("state", state, STALLIONS))
    level = _row("maintenance", "level", "elevated")
    protein = _protein(level, kg)
    if row["like_load"]:
        protein += _of_load(_row("work", "load", row["like_load"]), kg)
    return _need(kg, _energy(level, kg) * Decimal(row["times"]), protein, row)


def gestation(weight_kg: Value, month: int) -> Need:
    """Return the need of a mare in a month of pregnancy, 1 to 14; raises Invalid.

    ``weight_kg`` is what she weighs without the foal. Energy: the rows of a 500 kg mare, months 5
    to 11, scaled with weight; no formula is remembered for them. Protein: from how the foal and
    the womb grow, which gives the printed rows, month by month. Before month 5 as the average
    level, after month 11 as month 11. NRC 2007, from memory.
    """
    kg, table = ration_input.weight(weight_kg), _data()["gestation"]
    month = ration_input.whole("month", month, *GESTATION_MONTHS)
    rows = {row["month"]: Decimal(row["mcal"]) for row in table["rows"]}
    first, last = min(rows), max(rows)
    level, caution = _row("maintenance", "level", "average"), ("ration_weight_before_foal",)
    if month < first:
        return _need(kg, _energy(level, kg), _protein(level, kg), table, more=caution)
    counted = min(month, last)
    mcal = rows[counted] / Decimal(table["at_kg"]) * kg
    protein = _protein(level, kg) + _of_foal(table["growth"], kg, counted)
    past = ("ration_past_last_month",) if month > last else ()
    return _need(kg, mcal, protein, table, more=(*caution, *past))


def lactation(weight_kg: Value, month: int) -> Need:
    """Return the need of a mare in a month of milk, 1 to 6; raises Invalid.

    The elevated level and the milk: 0.5 Mcal at 60% efficiency, 50 g of protein and 3.3 g of lysine
    per kilogram. An older coefficient, 0.792 Mcal, misses the printed rows and is not used.
    NRC 2007, from memory; the printed rows come out with per cents of milk to two places.
    """
    kg, table = ration_input.weight(weight_kg), _data()["lactation"]
    month = ration_input.whole("month", month, *LACTATION_MONTHS)
    milk = milk_kg(kg, month)
    used = next(row for row in table["milk_energy"] if row["used"])
    mcal = _energy(table, kg) + Decimal(used["mcal"]) * milk / Decimal(used["efficiency"])
    own = _protein(table, kg)
    lysine = own * _lysine_share() + Decimal(_data()["lysine"]["g_per_kg_milk"]) * milk
    protein = own + Decimal(table["protein_g_per_kg_milk"]) * milk
    return _need(kg, mcal, protein, table, lysine=lysine)


def milk_kg(weight_kg: Value, month: int) -> Decimal:
    """Return the kilograms of milk a day in a month, 1 to 6, as a share of weight (memory)."""
    kg = ration_input.weight(weight_kg)
    month = ration_input.whole("month", month, *LACTATION_MONTHS)
    rows = _data()["lactation"]["months"]
    percent = next(Decimal(row["milk_percent"]) for row in rows if row["month"] == month)
    return kg * percent / 100


def _energy(row: Mapping[str, Any], kg: Decimal) -> Decimal:
    return Decimal(row["kcal_per_kg"]) * kg / _KCAL


def _protein(row: Mapping[str, Any], kg: Decimal) -> Decimal:
    return Decimal(row["protein_g_per_kg"]) * kg


def _lysine_share() -> Decimal:
    return Decimal(_data()["lysine"]["share_of_protein"])


def _of_load(row: Mapping[str, Any], kg: Decimal) -> Decimal:
    """Return the protein of a load's muscle and sweat, in grams."""
    sweat = _data()["sweat"]
    lost = kg * Decimal(row["sweat_percent"]) / 100 * Decimal(sweat["protein_g_per_kg"])
    asked = lost * Decimal(sweat["times"]) / Decimal(sweat["digestible"])
    return Decimal(row["muscle_g_per_kg"]) * kg + asked


def _of_foal(growth: Mapping[str, Any], kg: Decimal, month: int) -> Decimal:
    """Return the protein of the foal and the womb on the last day of a month, in grams."""
    day = Decimal(growth["days_a_month"]) * month
    power = Decimal(growth["power"])
    at_birth = kg * Decimal(growth["birth_share"]) * Decimal(growth["times"])
    gain_kg = at_birth * power * day ** (power - 1)
    gain_kg += kg * Decimal(growth["tissue_g_per_kg"]) / _GRAMS
    held = gain_kg * _GRAMS * Decimal(growth["protein_share"])
    return held / Decimal(growth["efficiency"]) / Decimal(growth["digestible"])


def _need(
    kg: Decimal,
    mcal: Decimal,
    protein: Decimal,
    row: Mapping[str, Any],
    *,
    lysine: Decimal | None = None,
    more: tuple[str, ...] = (),
) -> Need:
    tables = _data()["tables_kg"]
    within = Decimal(tables["low"]) <= kg <= Decimal(tables["high"])
    beyond = () if within else ("ration_beyond_tables",)
    return Need(
        weight_kg=kg,
        energy_mcal=mcal,
        protein_g=protein,
        lysine_g=protein * _lysine_share() if lysine is None else lysine,
        source=row["source"],
        confidence=row["confidence"],
        cautions=(*_ALWAYS, *more, *beyond),
    )
