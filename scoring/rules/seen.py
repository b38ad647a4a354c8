"""What the risk rules see of an animal: readings, its trend, its band and its plan."""

import math
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from scoring.rules import checked
from scoring.rules import scale as scales

PALPATED = "palpated"
# What says how an animal ate; "unknown" and nothing do not.
STATED = frozenset({"all", "some", "none"})
# Kilograms of one weighing, as the weight's filter takes them.
KG = (Decimal(1), Decimal(10_000))
# Standard normal quantile for a central 80% interval.
_Z80 = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class Score:
    """One assessment, in half points, regions as felt; None is 'not safe' or 'not given'.

    ``at`` is the corrected time of taking, ``received_at`` when we had it, ``by`` the assessor.
    """

    at: datetime
    received_at: datetime
    scale: str
    manner: str
    neck: int | None = None
    back: int | None = None
    hind: int | None = None
    whole: int | None = None
    fat_pocket: str = scales.NO_POCKET
    crest: int | None = None
    danger_signs: tuple[str, ...] = ()
    appetite: str = ""
    by: int | None = None

    @property
    def used(self) -> scales.Felt:
        """The three regions after the fat pocket."""
        return scales.Felt(self.neck, self.back, self.hind).with_pocket(self.fat_pocket)

    @property
    def sixths(self) -> int | None:
        """The exact overall in sixths of a point."""
        return scales.overall_sixths(
            self.scale,
            neck=self.neck,
            back=self.back,
            hind=self.hind,
            pocket=self.fat_pocket,
            whole=self.whole,
        )

    @property
    def nearest(self) -> int | None:
        """The overall to the nearest half point, in half points."""
        return scales.nearest_halves(self.sixths)

    @property
    def points(self) -> Decimal | None:
        """The overall to the nearest half point, in points."""
        return scales.points(self.nearest)

    @property
    def is_palpated(self) -> bool:
        """Whether it was felt, not only seen."""
        return self.manner == PALPATED

    @property
    def says_something(self) -> bool:
        """Whether any part of it was scored."""
        return any(part is not None for part in (self.neck, self.back, self.hind, self.whole))

    @property
    def states_appetite(self) -> bool:
        """Whether it says how the animal ate."""
        return self.appetite in STATED

    @property
    def thinnest(self) -> tuple[str, int] | None:
        """The thinnest region as felt and its half points, the first from the head on a tie."""
        felt = scales.Felt(self.neck, self.back, self.hind).by_region()
        scored = [(name, found) for name, found in felt.items() if found is not None]
        return min(scored, key=lambda each: each[1], default=None)


@dataclass(frozen=True, slots=True)
class Signs:
    """Danger signs seen at one time, by a reading or a concern."""

    at: datetime
    received_at: datetime
    signs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Weight:
    """One weighing: kilograms as taken, 1 to 10,000, by which method."""

    at: datetime
    received_at: datetime
    kg: Decimal
    method: str

    def __post_init__(self) -> None:
        """Raise OutOfRange for kilograms that no animal weighs, or that are no Decimal."""
        low, high = KG
        if not isinstance(self.kg, Decimal) or self.kg.is_nan() or not low <= self.kg <= high:
            raise checked.OutOfRange("kg", f"a Decimal from {low} to {high}")


@dataclass(frozen=True, slots=True)
class Answer:
    """How a person last resolved a rule's alert: when, and what the alert had said by then.

    ``severity`` is the alert's, ``basis`` the kind of evidence that it rested on, empty where that
    was not kept, and ``told`` holds the keys of its lines of evidence.
    """

    at: datetime
    severity: str
    basis: str = ""
    told: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of the animal's target band today, in points on one scale."""

    scale: str
    low: Decimal
    high: Decimal


@dataclass(frozen=True, slots=True)
class Trend:
    """What the trend says at its last reading: level and rate, each with its 80% interval.

    Scores: points, and points a month. Weights (scale "weight"): kilograms, and per cent a week.
    ``since`` is when its baseline began (``baseline``: readings on two sides of a break, such as a
    change of instrument that nothing bridges, are never joined), ``at`` its last reading. Rates are
    None and ``enough`` is false while there are too few readings, or none for long.
    """

    scale: str
    since: datetime
    at: datetime
    level: float
    low: float
    high: float
    rate: float | None = None
    rate_low: float | None = None
    rate_high: float | None = None

    def __post_init__(self) -> None:
        """Raise OutOfRange for a level or its interval that is no finite number."""
        for field in ("level", "low", "high"):
            checked.finite(field, getattr(self, field))

    @property
    def enough(self) -> bool:
        """Whether there were readings enough for a rate."""
        told = (self.rate, self.rate_low, self.rate_high)
        return all(each is not None and math.isfinite(each) for each in told)

    def below(self, limit: Decimal | float) -> float | None:
        """Return the probability that the true level lies below a limit; None without enough."""
        spread = (self.high - self.low) / 2 / _Z80
        if not self.enough or not spread > 0:
            return None
        return 0.5 * math.erfc((self.level - float(limit)) / spread / math.sqrt(2))


@dataclass(frozen=True, slots=True)
class Plan:
    """A signed plan: what is to change at what rate since when.

    ``scale`` "weight": per cent a week of the weight; a score's scale: points a month. A rate below
    zero is a loss. The first week of a diet is gut fill (Dugdale et al. 2010, EVJ).
    """

    start: datetime
    scale: str
    rate: float

    def __post_init__(self) -> None:
        """Raise OutOfRange for a rate that is no finite number."""
        checked.finite("rate", self.rate)
