"""What was felt on each invented day: drawn from a fixed seed, so every demo is alike."""

import random
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

REGIONS = ("neck_and_shoulder", "back_and_ribs", "hindquarters")
# Check values of the trade, used in tests; nothing invented shows them.
KEPT_OUT = ([3.0, 3.0, 3.5], [4.0, 4.0, 4.5])
SPREAD = 0.12  # points between two hands on one region, invented
TAPE_SPREAD = 0.008  # of the weight, invented
KG_A_POINT = 0.07  # of the weight at a score of 3


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


def half(points: float, low: float = 0.0, high: float = 5.0) -> float:
    """Return the nearest half point on the scale."""
    return min(high, max(low, round(points * 2) / 2))


class Hand:
    """Draws one horse's readings; the same seed and horse draw the same."""

    def __init__(self, seed: int, horse: Mapping[str, Any]) -> None:
        self.horse = horse
        self._random = random.Random(f"{seed}/{horse['name']}")  # noqa: S311 - invented data

    def whose(self, scorers: Sequence[str], vet: str | None) -> str:
        """Return who scores this time: mostly the scorers, now and then the vet."""
        if vet is not None and self._random.random() < 0.1:
            return vet
        return self._random.choice(scorers)

    def minutes(self) -> int:
        """Return how long after nine o'clock the round comes to this horse."""
        return self._random.randrange(0, 150)

    def reading(
        self, days_ago: int, at: datetime, *, ref: str, tape: str, held_by: str
    ) -> dict[str, Any]:
        """Return a raw reading, as a client would send it."""
        points = level(self.horse["knots"], days_ago)
        raw = {
            "horse": ref,
            "taken_at": at.isoformat(),
            "manner": "palpated",
            **self._scores(points, days_ago),
            "coat": _coat(at.month),
            "rug_off": True,
            "looked_for_danger": True,
            "held_by": held_by,
            "weighing": self._weight(points, tape),
        }
        if "crest" in self.horse:
            raw["crest"] = str(half(level(self.horse["crest"], days_ago)))
        return raw

    def _scores(self, points: float, days_ago: int) -> dict[str, Any]:
        if self.horse["species"] == "donkey":
            drawn = half(points + self._random.gauss(0, SPREAD), low=1.0)
            return {"scale": "donkey", "overall": str(drawn)}
        felt = [
            half(points + departs + self._random.gauss(0, SPREAD))
            for departs in self.horse["shape"]
        ]
        if sorted(felt) in KEPT_OUT:
            felt = [min(felt)] * 3
        felt = self.horse.get("felt", {}).get(str(days_ago), felt)
        regions = {name: str(float(score)) for name, score in zip(REGIONS, felt, strict=True)}
        return {"scale": "five", "regions": regions, "by_eye": self._by_eye(points)}

    def _by_eye(self, points: float) -> str | None:
        """Return an estimate before hands were laid on, given every third time or so."""
        guess = half(points + self._random.gauss(0, 0.4))
        return str(guess) if self._random.random() < 0.35 else None

    def _weight(self, points: float, tape: str) -> dict[str, Any]:
        kg = self.horse["kg"] * (1 + KG_A_POINT * (points - 3))
        drawn = kg * (1 + self._random.gauss(0, TAPE_SPREAD))
        return {"method": "weigh_tape", "instrument": tape, "weight_kg": str(round(drawn))}


def _coat(month: int) -> str:
    if month in (6, 7, 8, 9):
        return "summer"
    return "winter" if month in (11, 12, 1, 2) else "changing"
