"""What was felt on each invented day: drawn from a fixed seed, so every demo is alike.

A true course (levels between knots, and the year's swing) that nobody sees, and hands that feel it:
each with a bias and a spread of its own, rounded to half points as everybody's are.
"""

import math
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

REGIONS = ("neck_and_shoulder", "back_and_ribs", "hindquarters")
# Check values of the trade, used in tests; nothing invented shows them.
KEPT_OUT = ([3.0, 3.0, 3.5], [4.0, 4.0, 4.5])
SPREAD = 0.12  # points between two hands on one region, invented
FURTHEST = 2.0  # spreads that no hand errs beyond, so that no alert comes by chance alone
SWING = 0.12  # points up at autumn's end and down at winter's end, invented
BY_EYE_SPREAD, BY_EYE_SHARE = 0.4, 0.35  # of estimates before hands are laid on, invented
TAPE_SPREAD = 0.008  # of the weight, invented
KG_A_POINT = 0.07  # of the weight at a score of 3
VET_SHARE = 0.1  # of readings that are the vet's
WINTERS_END, AUTUMNS_END, YEAR = 59, 334, 365  # days of the year in the north


@dataclass(frozen=True, slots=True)
class Scorer:
    """Somebody who scores: how their hand errs, in points, and their tape, as a share."""

    key: str
    held_by: str
    bias: float = 0.0
    spread: float = SPREAD
    tape: str = ""
    reads: float = 1.0


def level(knots: Sequence[Sequence[float]], days_ago: float) -> float:
    """Return the level on a day, on straight lines between the knots, flat outside them."""
    later, before = None, None
    for day, points in knots:
        if day >= days_ago:
            before = (day, points)
        elif later is None:
            later = (day, points)
    if before is None or later is None:
        return float((before or later or (0, 3.0))[1])
    share = (before[0] - days_ago) / (before[0] - later[0])
    return float(before[1] + share * (later[1] - before[1]))


def season(on: date) -> float:
    """Return where a day stands between winter's end, -1, and autumn's end, 1, in the north."""
    day = on.timetuple().tm_yday
    if WINTERS_END <= day <= AUTUMNS_END:
        return -math.cos(math.pi * (day - WINTERS_END) / (AUTUMNS_END - WINTERS_END))
    since = (day - AUTUMNS_END) % YEAR
    return math.cos(math.pi * since / (YEAR - AUTUMNS_END + WINTERS_END))


def half(points: float, low: float = 0.0, high: float = 5.0) -> float:
    """Return the nearest half point on the scale."""
    return min(high, max(low, round(points * 2) / 2))


class Course:
    """One animal's true course, and the readings of it; same seed and animal draw the same."""

    def __init__(self, seed: int, horse: Mapping[str, Any]) -> None:
        self.horse = horse
        self._random = random.Random(f"{seed}/{horse['name']}")  # noqa: S311 - invented data

    def true(self, days_ago: int, on: date) -> float:
        """Return the level that nobody sees, in points."""
        swing = float(self.horse.get("swing", SWING))
        return level(self.horse["knots"], days_ago) + swing * season(on)

    def whose(self, scorers: Sequence[str], vet: str | None) -> str:
        """Return who scores this time: mostly the scorers, now and then the vet."""
        if vet is not None and self._random.random() < VET_SHARE:
            return vet
        by: Sequence[str] = self.horse.get("by", scorers)
        return self._random.choice(by)

    def minutes(self) -> int:
        """Return how long after nine o'clock the round comes to this horse."""
        return self._random.randrange(0, 150)

    def reading(self, days_ago: int, at: datetime, scorer: Scorer, ref: str) -> dict[str, Any]:
        """Return a raw reading, as a client would send it; the scenario may say parts of it."""
        true = self.true(days_ago, at.date())
        raw: dict[str, Any] = {
            "horse": ref,
            "taken_at": at.isoformat(),
            "manner": "palpated",
            **self._scores(true, days_ago, scorer),
            "coat": _coat(at.month),
            "rug_off": True,
            "looked_for_danger": True,
            "held_by": scorer.held_by,
            "weighing": self.weight(days_ago, at, scorer),
        }
        if "crest" in self.horse:
            raw["crest"] = str(half(level(self.horse["crest"], days_ago)))
        raw.update(self.horse.get("sent", {}).get(str(days_ago), {}))
        return raw

    def _scores(self, true: float, days_ago: int, scorer: Scorer) -> dict[str, Any]:
        if self.horse["species"] == "donkey":
            felt = half(self._felt(true, scorer), low=1.0)
            return {"scale": "donkey", "overall": str(felt)}
        shape = self.horse.get("shape", (0, 0, 0))
        regions = [half(self._felt(true + departs, scorer)) for departs in shape]
        if sorted(regions) in KEPT_OUT:
            regions = [min(regions)] * 3
        regions = self.horse.get("felt", {}).get(str(days_ago), regions)
        by_eye = half(true + self._random.gauss(0, BY_EYE_SPREAD))
        return {
            "scale": "five",
            "regions": {
                name: str(float(each)) for name, each in zip(REGIONS, regions, strict=True)
            },
            "by_eye": str(by_eye) if self._random.random() < BY_EYE_SHARE else None,
        }

    def _felt(self, true: float, scorer: Scorer) -> float:
        error = max(-FURTHEST, min(FURTHEST, self._random.gauss(0, 1)))
        return true + scorer.bias + scorer.spread * error

    def weight(
        self, days_ago: int, at: datetime, scorer: Scorer, bridge: str = ""
    ) -> dict[str, Any]:
        """Return the weight that goes with the true level: by the scorer's tape, or a bridge."""
        kg = self.horse["kg"]
        at_three = level(kg, days_ago) if isinstance(kg, list) else kg
        true = at_three * (1 + KG_A_POINT * (self.true(days_ago, at.date()) - 3))
        if bridge:
            return _weighed("weighbridge", bridge, true)
        drawn = true * scorer.reads * (1 + self._random.gauss(0, TAPE_SPREAD))
        return _weighed("weigh_tape", scorer.tape, drawn)


def _weighed(method: str, instrument: str, kg: float) -> dict[str, Any]:
    return {"method": method, "instrument": instrument, "weight_kg": str(round(kg))}


def _coat(month: int) -> str:
    if month in (6, 7, 8, 9):
        return "summer"
    return "winter" if month in (11, 12, 1, 2) else "changing"
