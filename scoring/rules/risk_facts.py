"""What the risk rules are told of one animal at one moment. They ask nothing else."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal

from scoring.rules import seen, threshold
from yards.rules import breeding, daytime, life_stage, seasons

_PAST_LAMINITIS = frozenset({"past", "within_a_year"})
_ENDOCRINE = frozenset({"suspected", "confirmed"})
UNKNOWN_AGE = life_stage.LifeStage(life_stage.Stage.UNKNOWN, life_stage.Stage.UNKNOWN)
NOT_BRED = breeding.Bred()


@dataclass(frozen=True, slots=True)
class Facts:
    """One animal and its newest readings, none of them superseded; ``now`` is passed in.

    stage      of life, today
    bred       where a mare stands today between covering and weaning
    speaking   the newest assessment of any manner that scores some part
    felt       the newest palpated one that scores some part
    palpated   the newest palpated one with an overall
    came       the assessment that has just come in, however long ago it was taken
    ate        the newest one of the last days that says how the animal ate
    recent     the newest few of those, newest first, ``palpated`` the first of them
    crest      the newest palpated one with a cresty neck score
    signs      danger signs to judge: of the reading or concern that just came, or all recent ones
    weights    the last weighing, however old, and those of 125 days before it, oldest first
    edges      the band's edges today, on the scale of ``palpated``
    *_trend    what the trend makes of scores and of weights; None before the first reading
    arrived_at when it came or came back to this house; ``moved_at`` when to the yard it stands in
    foaled_at  when she last foaled
    plan       the plan in force, if there is one
    *_due_at   when each falls due; None for what is not asked of this animal
    thresholds the organisation's own (``threshold.check_thresholds``)
    off        rules that the organisation does not use
    resolved   rule -> how a person last resolved its alert; what that answered is not found again
    """

    now: datetime
    species: str
    kind: str = ""
    use: str = ""
    stage: life_stage.LifeStage = UNKNOWN_AGE
    bred: breeding.Bred = NOT_BRED
    zone: str = "UTC"
    hemisphere: str = seasons.NORTH
    spring: seasons.Spring | None = None
    laminitis: str = "unknown"
    endocrine: str = "unknown"
    speaking: seen.Score | None = None
    felt: seen.Score | None = None
    palpated: seen.Score | None = None
    came: seen.Score | None = None
    ate: seen.Score | None = None
    recent: tuple[seen.Score, ...] = ()
    crest: seen.Score | None = None
    signs: tuple[seen.Signs, ...] = ()
    weights: tuple[seen.Weight, ...] = ()
    edges: seen.Edges | None = None
    score_trend: seen.Trend | None = None
    weight_trend: seen.Trend | None = None
    arrived_at: datetime | None = None
    moved_at: datetime | None = None
    foaled_at: datetime | None = None
    plan: seen.Plan | None = None
    score_due_at: datetime | None = None
    weight_due_at: datetime | None = None
    check_due_at: datetime | None = None
    thresholds: Mapping[str, Decimal] = field(default_factory=dict)
    off: frozenset[str] = frozenset()
    resolved: Mapping[str, seen.Answer] = field(default_factory=dict)

    @property
    def today(self) -> date:
        """The day it is in the yard."""
        return daytime.local_date(self.now, self.zone)

    @property
    def in_spring(self) -> bool:
        """Whether it is spring in the yard."""
        return seasons.in_spring(self.today, self.hemisphere, self.spring)

    @property
    def had_laminitis(self) -> bool:
        """Whether laminitis is on record."""
        return self.laminitis in _PAST_LAMINITIS

    @property
    def has_hormonal_disease(self) -> bool:
        """Whether a hormonal disease is suspected or on record."""
        return self.endocrine in _ENDOCRINE

    def day_of(self, at: datetime) -> str:
        """Return the day of an instant in the yard, written 2026-04-12."""
        return daytime.local_date(at, self.zone).isoformat()

    def days_since(self, at: datetime) -> int:
        """Return how many days ago it was by the yard's calendar."""
        return (self.today - daytime.local_date(at, self.zone)).days

    def bound(self, rule: str, scale: str, measure: str) -> threshold.Bound | None:
        """Return a rule's threshold as this organisation has it; None on a scale without one."""
        return threshold.bound(self.thresholds, rule, scale, measure)
