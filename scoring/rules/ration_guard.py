"""Who never gets a ration, a restriction or an exercise step without a vet's plan, and who never.

Nothing is worked out for an emaciated animal, with or without a plan: the amounts of refeeding are
the vet's, typed in with the plan, never ours (3 of 22 and 2 of 14 starved horses died when fed:
Witham and Stull 1998, JAVMA 212:691-696; Stull 2003, Prof Anim Sci 19:47-54, both read). Nor for
donkeys and mules by tables of horses, for growing animals, for whom there are no tables here, or
for the sick. Laminitis that is suspected, or an animal that is footsore, never gets an exercise
step. That these need a vet is common practice; the vet decides, and nothing here diagnoses.

What is not known is not known to be well: an animal that nobody scored may be emaciated, so nothing
is worked out for it without a plan; a birth that is not on record is said, and a mare that was
covered and not found empty counts as in foal.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from scoring.rules import ration_input, ration_keys
from yards.rules import breeding, errors, horse, life_stage
from yards.rules.errors import FieldError

RATION, RESTRICTION, GAIN, EXERCISE = "ration", "restriction", "gain", "exercise"
PURPOSES = (RATION, RESTRICTION, GAIN, EXERCISE)
# From the freest to the strictest.
COMPUTED, PLAN_ALONE, VET_FIRST, NEVER = "computed", "plan_alone", "vet_first", "never"
ANSWERS = (COMPUTED, PLAN_ALONE, VET_FIRST, NEVER)
CAUTIONS = (*ration_keys.ALWAYS, *ration_keys.DOUBTS)
REASONS = tuple(ration_keys.GUARDS)
# A weight older than the ordinary interval between weighings is not the current one; ours.
WEIGHT_DAYS = 28
# Whether a hand has scored it of late.
KNOWN, UNKNOWN = "known", "unknown"
CONDITIONS = (KNOWN, UNKNOWN)
UNKNOWN_AGE = life_stage.LifeStage(life_stage.Stage.UNKNOWN, life_stage.Stage.UNKNOWN)
NOT_BRED = breeding.Bred()
_UNLIKE_LIGHT = frozenset({"pony", "cob", "draught", "miniature"})

# What a plan of the vet's lets us do: work it out, or only keep to the plan's own amounts.
_WITH_PLAN, _BY_PLAN_ALONE, _NOT_AT_ALL = "with_plan", "by_plan_alone", "not_at_all"
_ALL_BY_PLAN_ALONE = dict.fromkeys(PURPOSES, _BY_PLAN_ALONE)
_OF_MARES = {
    RATION: _WITH_PLAN,
    RESTRICTION: _BY_PLAN_ALONE,
    GAIN: _BY_PLAN_ALONE,
    EXERCISE: _WITH_PLAN,
}
_TABLE: Mapping[str, Mapping[str, str]] = {
    "ration_emaciated": {**_ALL_BY_PLAN_ALONE, RESTRICTION: _NOT_AT_ALL, EXERCISE: _NOT_AT_ALL},
    "ration_sick": _ALL_BY_PLAN_ALONE,
    "ration_laminitis": dict.fromkeys((RATION, RESTRICTION, GAIN), _WITH_PLAN),
    "ration_other_species": dict.fromkeys((RATION, RESTRICTION, GAIN), _BY_PLAN_ALONE),
    "ration_growing": _ALL_BY_PLAN_ALONE,
    "ration_in_foal": _OF_MARES,
    "ration_in_milk": _OF_MARES,
    "ration_condition_unknown": dict.fromkeys(PURPOSES, _WITH_PLAN),
    "ration_too_thin_to_restrict": {RESTRICTION: _WITH_PLAN},
    "ration_no_exercise": {EXERCISE: _NOT_AT_ALL},
}


@dataclass(frozen=True, slots=True)
class Animal:
    """What the guard hangs on, of one animal today.

    condition           KNOWN when a hand scored it of late; what nobody says is UNKNOWN
    is_emaciated        its emaciated alert is open, or its newest reading is
    is_thin             thin, or below its band
    is_sick             a danger sign or off its feed, an open alert of such, or ill by the record
    laminitis_suspected by anybody; only the vet can say
    weighed_days_ago    days since it was weighed, None for never
    """

    species: str
    kind: str = ""
    use: str = ""
    stage: life_stage.LifeStage = UNKNOWN_AGE
    bred: breeding.Bred = NOT_BRED
    condition: str = UNKNOWN
    is_emaciated: bool = False
    is_thin: bool = False
    is_sick: bool = False
    laminitis_suspected: bool = False
    is_footsore: bool = False
    weighed_days_ago: int | None = None

    @property
    def is_growing(self) -> bool:
        """Whether it may still be growing, by either end of its birth or by its use."""
        stages = {self.stage.if_older, self.stage.if_younger}
        return bool(stages & life_stage.GROWING) or self.use == "youngster"


@dataclass(frozen=True, slots=True)
class Plan:
    """A plan that a vet signed, in force from ``signed_at`` to before ``until``."""

    vet: str
    signed_at: datetime
    until: datetime

    def __post_init__(self) -> None:
        """Raise Invalid for a plan without a vet's name, without a zone, or that never runs."""
        if not isinstance(self.vet, str) or not self.vet.strip():
            raise errors.Invalid(FieldError("vet", "plan_names_no_vet"))
        for field in ("signed_at", "until"):
            at = getattr(self, field)
            if not isinstance(at, datetime) or at.tzinfo is None:
                raise errors.Invalid(FieldError(field, "not_an_instant"))
        if self.until <= self.signed_at:
            raise errors.Invalid(FieldError("until", "plan_ends_before_it_begins"))

    def is_in_force(self, now: datetime) -> bool:
        """Return whether it is in force at a moment."""
        return self.signed_at <= now < self.until


@dataclass(frozen=True, slots=True)
class Verdict:
    """What may be done for a purpose: one of ``ANSWERS``, and why.

    COMPUTED    our arithmetic may be shown, with its cautions
    PLAN_ALONE  the vet's plan stands with its own amounts; we work out none
    VET_FIRST   nothing until a vet's plan is in force
    NEVER       not even with a plan
    ``reasons`` are keys of ``REASONS``, the gravest first, ``cautions`` keys of ``CAUTIONS``.
    """

    answer: str
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def may_compute(self) -> bool:
        """Whether our arithmetic may be shown."""
        return self.answer == COMPUTED


def judge(animal: Animal, purpose: str, plan: Plan | None, now: datetime) -> Verdict:
    """Return whether a ration, restriction, gain or exercise step may be worked out; see Verdict.

    ``now`` names its zone. Raises Invalid for a purpose, species or condition that there is none
    of, and for a weighing that lies in the future.
    """
    ration_input.choice("purpose", purpose, PURPOSES)
    ration_input.choice("species", animal.species, horse.SPECIES)
    ration_input.choice("condition", animal.condition, CONDITIONS)
    if now.tzinfo is None:
        raise errors.Invalid(FieldError("now", "not_an_instant"))
    found = {key: _TABLE[key][purpose] for key in _conditions(animal) if purpose in _TABLE[key]}
    signed = plan is not None and plan.is_in_force(now)
    return Verdict(_answer(frozenset(found.values()), signed), tuple(found), _cautions(animal))


def require(animal: Animal, purpose: str, plan: Plan | None, now: datetime) -> tuple[str, ...]:
    """Return the cautions where our arithmetic may be shown; else raises Invalid at "animal"."""
    verdict = judge(animal, purpose, plan, now)
    if not verdict.may_compute:
        raise errors.Invalid(*(FieldError("animal", key) for key in verdict.reasons))
    return verdict.cautions


def _answer(asked: frozenset[str], signed: bool) -> str:
    if _NOT_AT_ALL in asked:
        return NEVER
    if asked and not signed:
        return VET_FIRST
    return PLAN_ALONE if _BY_PLAN_ALONE in asked else COMPUTED


def _conditions(animal: Animal) -> tuple[str, ...]:
    """Return what is so of an animal, the gravest first."""
    holds = {
        "ration_emaciated": animal.is_emaciated,
        "ration_sick": animal.is_sick,
        "ration_laminitis": animal.laminitis_suspected,
        "ration_other_species": animal.species != horse.HORSE,
        "ration_growing": animal.is_growing,
        "ration_in_foal": animal.bred.in_foal != breeding.NO,
        "ration_in_milk": animal.bred.in_milk,
        "ration_condition_unknown": animal.condition != KNOWN,
        "ration_too_thin_to_restrict": animal.is_thin,
        "ration_no_exercise": animal.laminitis_suspected or animal.is_footsore,
    }
    return tuple(key for key, is_so in holds.items() if is_so)


def _cautions(animal: Animal) -> tuple[str, ...]:
    days = animal.weighed_days_ago
    if days is not None:
        ration_input.whole("weighed_days_ago", days, 0, 100_000)
    holds = {
        "ration_age_unknown": animal.stage.if_older is life_stage.Stage.UNKNOWN,
        "ration_weigh_again": days is None or days > WEIGHT_DAYS,
        "ration_pony_or_draught": animal.kind in _UNLIKE_LIGHT,
        "ration_feed_never_cut_suddenly": True,
    }
    return (*ration_keys.ALWAYS, *(key for key, is_so in holds.items() if is_so))
