"""Thresholds as data: each with its scale, its source and the limits it may be moved within."""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from scoring.rules import scale as scales
from yards.rules import fixture


@cache
def _rules() -> dict[str, dict[str, Any]]:
    return {row["rule"]: row for row in fixture.load("risk_rules")["rules"]}


def rule(name: str) -> dict[str, Any]:
    """Return a rule's row: severity, source, thresholds."""
    return _rules()[name]


def rules() -> tuple[str, ...]:
    """Return the names of all rules, in the order of the data."""
    return tuple(_rules())


@dataclass(frozen=True, slots=True)
class Limit:
    """A threshold in half points, and which side of it counts: "at_least" or "at_most"."""

    halves: int
    side: str

    def holds(self, halves: int | None) -> bool:
        """Return whether a score reaches the threshold; what is not known does not."""
        if halves is None:
            return False
        return halves >= self.halves if self.side == "at_least" else halves <= self.halves


@cache
def of_score(name: str, scale: str, measure: str = "overall") -> Limit | None:
    """Return a rule's threshold on a scale, for the overall, a region or the crest; or None."""
    for row in rule(name)["thresholds"]:
        if (row["scale"], row["measure"]) == (scale, measure):
            side = "at_least" if "at_least" in row else "at_most"
            return Limit(scales.halves(row[side]), side)
    return None


@dataclass(frozen=True, slots=True)
class Loss:
    """A loss of weight that is too much: more than so much, per cent or kg, within so many days."""

    more_than: Decimal
    within_days: int


@cache
def of_loss(scale: str) -> Loss:
    """Return the loss for every animal, "weight" (per cent), or for donkeys, "donkey" (kg)."""
    row = next(each for each in rule("losing_fast")["thresholds"] if each["scale"] == scale)
    return Loss(Decimal(row["more_than"]), int(row["within_days"]))
