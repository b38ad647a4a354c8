"""Readings as the risk rules see them: what was felt or seen of an animal, when, and how."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from scoring.rules import scale as scales

PALPATED = "palpated"


@dataclass(frozen=True, slots=True)
class Score:
    """One assessment, in half points, regions as felt; None is 'not safe' or 'not given'.

    ``at`` is the corrected time of taking, ``received_at`` when we had it.
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
    def is_palpated(self) -> bool:
        """Whether it was felt, not only seen."""
        return self.manner == PALPATED

    @property
    def says_something(self) -> bool:
        """Whether any part of it was scored."""
        return any(part is not None for part in (self.neck, self.back, self.hind, self.whole))

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
    """One weighing: kilograms as taken, by which method."""

    at: datetime
    received_at: datetime
    kg: Decimal
    method: str
