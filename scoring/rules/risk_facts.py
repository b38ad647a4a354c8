"""What the risk rules are told of one animal at one moment. They ask nothing else."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from scoring.rules import seen
from yards.rules import daytime, seasons


@dataclass(frozen=True, slots=True)
class Facts:
    """One animal and its newest readings, none of them superseded; ``now`` is passed in.

    newest     the newest assessment of any manner, even a partial one
    palpated   the newest palpated one with an overall
    crest      the newest palpated one with a cresty neck score
    signs      danger signs to judge: of the reading or concern that just came, or all recent ones
    weights    weighings of at least the last 60 days, oldest first
    *_due_at   when each falls due; None for what is not asked of this animal
    resolved   rule -> when a person last resolved its alert; older evidence does not open it again
    """

    now: datetime
    species: str
    zone: str = "UTC"
    hemisphere: str = seasons.NORTH
    spring: seasons.Spring | None = None
    laminitis: str = "unknown"
    endocrine: str = "unknown"
    newest: seen.Score | None = None
    palpated: seen.Score | None = None
    crest: seen.Score | None = None
    signs: tuple[seen.Signs, ...] = ()
    weights: tuple[seen.Weight, ...] = ()
    score_due_at: datetime | None = None
    weight_due_at: datetime | None = None
    check_due_at: datetime | None = None
    resolved: Mapping[str, datetime] = field(default_factory=dict)

    @property
    def today(self) -> date:
        """The day it is in the yard."""
        return daytime.local_date(self.now, self.zone)

    @property
    def in_spring(self) -> bool:
        """Whether it is spring in the yard."""
        return seasons.in_spring(self.today, self.hemisphere, self.spring)

    def day_of(self, at: datetime) -> str:
        """Return the day of an instant in the yard, written 2026-04-12."""
        return daytime.local_date(at, self.zone).isoformat()

    def days_since(self, at: datetime) -> int:
        """Return how many days ago it was by the yard's calendar."""
        return (self.today - daytime.local_date(at, self.zone)).days
