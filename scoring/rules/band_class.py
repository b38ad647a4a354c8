"""Which row of ``fixtures/bands.json`` an animal falls under on a day, and why.

The strongest claim on condition comes first: species, milk, a foal to come, growth, age, use. A
birth known by its year only counts from its first day, as studbooks count (common practice).
"""

from datetime import date

from scoring.rules.band_facts import Facts
from scoring.rules.finding import Message
from yards.rules import breeding, life_stage
from yards.rules.life_stage import Stage

DONKEY, BROODMARE, YOUNGSTER, AGED, LEISURE = "donkey", "broodmare", "youngster", "aged", "leisure"
EARLY_IN_MILK, LACTATING, LATE_IN_FOAL = "early_in_milk", "lactating", "late_in_foal"
OF_USE = ("athlete", "stallion")

Why = tuple[Message, ...]


def of(facts: Facts, on: date) -> tuple[str, Why]:
    """Return the class on a day, and message keys of what chose it."""
    stage, bred = facts.stage(on), facts.bred(on)
    if facts.species == "donkey":
        return DONKEY, _of_donkey(bred)
    doubt = _doubts(bred)
    if bred.in_milk:
        return EARLY_IN_MILK if bred.is_early_in_milk else LACTATING, (_milk(bred), *doubt)
    if bred.in_foal != breeding.NO:
        return LATE_IN_FOAL if bred.is_late_in_foal else BROODMARE, (_foal(bred), *doubt)
    found, why = _by_use_and_age(facts, stage)
    return found, (*why, *doubt)


def life_class(facts: Facts, on: date) -> str:
    """Return the class whose row applies on a day."""
    return of(facts, on)[0]


def _by_use_and_age(facts: Facts, stage: life_stage.LifeStage) -> tuple[str, Why]:
    if facts.use == "broodmare":
        return BROODMARE, (Message("band_broodmare"),)
    dated = _birth(stage)
    if stage.if_older in life_stage.GROWING:
        return YOUNGSTER, (Message("band_growing", {"stage": str(stage.if_older)}), *dated)
    if facts.use == "youngster":
        return YOUNGSTER, (Message("band_youngster"),)
    if stage.if_older is Stage.AGED:
        return AGED, (Message("band_aged"), *dated)
    if facts.use in OF_USE:
        return facts.use, (Message(f"band_{facts.use}"), *dated)
    return LEISURE, (Message("band_leisure"), *dated)


def _birth(stage: life_stage.LifeStage) -> Why:
    if stage.if_older is Stage.UNKNOWN:
        return (Message("band_birth_unknown"),)
    if stage.if_older is not stage.if_younger:
        return (Message("band_birth_by_year"),)
    return ()


def _milk(bred: breeding.Bred) -> Message:
    if bred.lactation_month is None:
        return Message("band_in_milk_undated")
    key = "band_early_in_milk" if bred.is_early_in_milk else "band_in_milk"
    return Message(key, {"month": bred.lactation_month})


def _foal(bred: breeding.Bred) -> Message:
    if bred.pregnancy_month is None:
        return Message("band_in_foal_undated")
    if bred.is_late_in_foal:
        return Message("band_late_in_foal", {"month": bred.pregnancy_month})
    sure = bred.in_foal == breeding.YES
    key = "band_in_foal" if sure else "band_perhaps_in_foal"
    return Message(key, {"month": bred.pregnancy_month})


def _doubts(bred: breeding.Bred) -> Why:
    if bred.doubt == breeding.COVERED_TOO_LONG_AGO:
        return (Message("band_covered_too_long_ago"),)
    if bred.doubt == breeding.MILK_OVER:
        return (Message("band_milk_over", {"months": breeding.months_of_milk()}),)
    return ()


def _of_donkey(bred: breeding.Bred) -> Why:
    is_bred = bred.in_milk or bred.in_foal != breeding.NO
    own = (Message("band_donkey"),)
    return (*own, Message("band_donkey_bred")) if is_bred else own
