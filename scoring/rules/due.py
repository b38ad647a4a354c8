"""When the next score, weight and daily check fall due. Data: ``fixtures/intervals.json``.

Score and weight have intervals of their own. Each is the shortest that applies; a vet's wins over
both. Something is due on its day by the yard's calendar and overdue from the next day on.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from scoring.rules import risk_thin, scale, seen
from yards.rules import daytime, fixture

NOT_DUE, DUE, OVERDUE = "not_due", "due", "overdue"
STATES = (NOT_DUE, DUE, OVERDUE)
VET = "vet"
_LAMINITIS = frozenset({"past", "within_a_year"})


@dataclass(frozen=True, slots=True)
class Facts:
    """What the intervals hang on: the animal, its newest score and crest, a vet's order.

    ``score`` is the newest reading that says something of fat (``seen.Score``), None before the
    first; ``crest`` the newest cresty neck score, in half points.
    """

    species: str
    laminitis: str = "unknown"
    score: seen.Score | None = None
    crest: int | None = None
    vet_score_days: int | None = None
    vet_weight_days: int | None = None


@dataclass(frozen=True, slots=True)
class Intervals:
    """Days between scores, weights and, for the emaciated, checks; ``why`` is a message key."""

    score_days: int
    weight_days: int
    check_days: int | None
    why: str


def is_thin(score: seen.Score | None) -> bool:
    """Return whether the nearest half is thin on its scale."""
    return score is not None and _reaches(score.nearest, "thin", score.scale, at_most=True)


def is_fat(score: seen.Score | None) -> bool:
    """Return whether the nearest half is fat enough to be looked at more often."""
    return score is not None and _reaches(score.nearest, "fat", score.scale)


def _reaches(halves: int | None, state: str, key: str, at_most: bool = False) -> bool:
    if halves is None:
        return False
    limit = scale.halves(fixture.load("intervals")["thresholds"][state][key])
    return halves <= limit if at_most else halves >= limit


def states(facts: Facts) -> frozenset[str]:
    """Return the states of intervals.json that an animal is in; "ordinary" always."""
    told = {
        "emaciated": facts.score is not None and risk_thin.is_emaciated(facts.score),
        "thin": is_thin(facts.score),
        "past_laminitis": facts.laminitis in _LAMINITIS,
        "crest": _reaches(facts.crest, "crest", scale.CREST),
        "fat": is_fat(facts.score),
        "donkey": facts.species == "donkey",
        "ordinary": True,
    }
    return frozenset(state for state, holds in told.items() if holds)


def intervals(facts: Facts) -> Intervals:
    """Return how often to look, and the gravest reason for it."""
    held = states(facts)
    rows: list[dict[str, Any]] = [
        row for row in fixture.load("intervals")["rows"] if row["state"] in held
    ]
    score_days = facts.vet_score_days or min(row["score_days"] for row in rows)
    weight_days = facts.vet_weight_days or min(row["weight_days"] for row in rows)
    checks = [row["check_days"] for row in rows if row["check_days"] is not None]
    ordered = facts.vet_score_days or facts.vet_weight_days
    why = VET if ordered else rows[0]["state"]
    return Intervals(score_days, weight_days, min(checks, default=None), f"interval_{why}")


def due_at(last: datetime, days: int, zone: str = "UTC") -> datetime:
    """Return when the next falls due: the same time of day, so many local days later."""
    local = last.astimezone(ZoneInfo(zone)).replace(tzinfo=None, fold=0)
    return daytime.resolve(local + timedelta(days=days), ZoneInfo(zone))


def state(at: datetime, now: datetime, zone: str) -> str:
    """Return not_due before the due day in the zone, due on it, overdue from the next."""
    today, day = daytime.local_date(now, zone), daytime.local_date(at, zone)
    if today < day:
        return NOT_DUE
    return DUE if today == day else OVERDUE
