"""Condition scales, in half points, and what three regions come to.

``five`` is the 0-5 scale by three regions (Carroll and Huntington 1988), ``nine`` the 1-9 scale
(Henneke 1983), ``donkey`` the donkeys' own 1-5 chart, ``crest`` the 0-5 cresty neck score (Carter
2009). Scores are whole numbers of half points everywhere inside; scales are never converted.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from functools import cache

from scoring.rules import checked
from yards.rules import fixture, forms
from yards.rules.fields import Reader

FIVE, NINE, DONKEY, CREST = "five", "nine", "donkey", "crest"
SCALES = (FIVE, NINE, DONKEY)
NECK, BACK, HIND = "neck_and_shoulder", "back_and_ribs", "hindquarters"
# Head to tail: the order in which ties are told.
REGIONS = (NECK, BACK, HIND)
WHOLE = "overall"
NO_POCKET, SLIGHT, MARKED = "none", "slight", "marked"
POCKETS = (NO_POCKET, SLIGHT, MARKED)
TOP_HALVES = 10
_CENT = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale's range in half points, both ends allowed, and the species it is for."""

    key: str
    version: int
    low: int
    high: int
    species: tuple[str, ...]

    @property
    def low_points(self) -> Decimal:
        """The lowest score, in points."""
        return Decimal(self.low) / 2

    @property
    def high_points(self) -> Decimal:
        """The highest score, in points."""
        return Decimal(self.high) / 2


@cache
def of(key: str) -> Scale:
    """Return a scale by its key; raises KeyError for one that does not exist."""
    row = fixture.load("scales")["scales"][key]
    return Scale(
        key, row["version"], halves(row["low"]), halves(row["high"]), tuple(row["species"])
    )


def halves(points: str | Decimal) -> int:
    """Return points as half points; raises OutOfRange for what is no number on their grid."""
    try:
        doubled = Decimal(points) * 2
        if doubled.is_finite() and doubled == doubled.to_integral_value():
            return int(doubled)
    except InvalidOperation:
        pass
    raise checked.OutOfRange("points", "whole and half points")


@cache
def for_species(species: str) -> tuple[str, ...]:
    """Return the scales a species may be scored on; the usual one first."""
    return tuple(key for key in SCALES if species in of(key).species)


def usual_for(species: str) -> str:
    """Return the scale that a species is scored on unless somebody chooses another.

    Raises OutOfRange for a species that has none.
    """
    found = for_species(species)
    if not found:
        known = dict.fromkeys(each for key in SCALES for each in of(key).species)
        raise checked.OutOfRange("species", "one of " + ", ".join(known))
    return found[0]


def read(reader: Reader, name: str, key: str) -> int | None:
    """Return a score in half points from raw input, None where none was sent.

    Refuses what is no plain number, off the half-point grid, or out of the scale's range.
    """
    scale = of(key)
    sent = reader.raw(name)
    if sent is None or (isinstance(sent, str) and not sent.strip()):
        return None
    try:
        points = forms.number(sent)
    except forms.Unfit as unfit:
        reader.refuse(name, unfit.key, **unfit.params)
        return None
    if not scale.low_points <= points <= scale.high_points:
        low, high = str(scale.low_points), str(scale.high_points)
        reader.refuse(name, "out_of_range", low=low, high=high)
        return None
    if (points * 2) % 1:
        reader.refuse(name, "off_the_half_points")
        return None
    return int(points * 2)


@dataclass(frozen=True, slots=True)
class Felt:
    """Three regions on ``five``, in half points; None where it was not safe to palpate.

    Raises OutOfRange for a region off the scale.
    """

    neck: int | None
    back: int | None
    hind: int | None

    def __post_init__(self) -> None:
        for each in (self.neck, self.back, self.hind):
            if each is not None and not 0 <= each <= TOP_HALVES:
                wrong = next(name for name, one in self.by_region().items() if one is each)
                raise checked.OutOfRange(wrong, f"0 to {TOP_HALVES}")

    def by_region(self) -> Mapping[str, int | None]:
        """Return half points by region, head to tail."""
        return {NECK: self.neck, BACK: self.back, HIND: self.hind}

    def with_pocket(self, pocket: str) -> "Felt":
        """Return the regions as used: a marked fat pocket behind the shoulder adds half a point.

        It is added to back and ribs, capped at 5 (common practice, no published source; the region
        and the cap are our reading of it).
        """
        if pocket != MARKED or self.back is None:
            return self
        return Felt(self.neck, min(self.back + 1, TOP_HALVES), self.hind)

    def points(self) -> dict[str, Decimal | None]:
        """Return points by region, head to tail."""
        return {name: points(found) for name, found in self.by_region().items()}

    def not_safe(self) -> tuple[str, ...]:
        """Return the regions without a score, head to tail."""
        return tuple(name for name, found in self.by_region().items() if found is None)

    def fattest(self) -> tuple[str, ...]:
        """Return the fattest region, or all that tie, head to tail.

        Nothing while a region is missing: the one not felt might be the fattest. Call it on the
        regions as used, after the pocket.
        """
        found = list(self.by_region().items())
        scores = [score for _, score in found if score is not None]
        if len(scores) < len(found):
            return ()
        return tuple(name for name, score in found if score == max(scores))

    def sixths(self) -> int | None:
        """Return the mean of the three in sixths of a point: their half points, added."""
        if self.neck is None or self.back is None or self.hind is None:
            return None
        return self.neck + self.back + self.hind


def overall_sixths(
    key: str,
    *,
    neck: int | None = None,
    back: int | None = None,
    hind: int | None = None,
    pocket: str = NO_POCKET,
    whole: int | None = None,
) -> int | None:
    """Return the exact overall in sixths of a point, as the database computes it; None stays None.

    On ``five`` the mean of the regions as used; on the others the whole-animal score.
    """
    if key == FIVE:
        return Felt(neck, back, hind).with_pocket(pocket).sixths()
    return None if whole is None else whole * 3


def points(found: int | None) -> Decimal | None:
    """Return half points as points."""
    return None if found is None else Decimal(found) / 2


def mean(sixths: int | None) -> Decimal | None:
    """Return an overall to two places, half up: 25 sixths are 4.17."""
    if sixths is None:
        return None
    return (Decimal(sixths) / 6).quantize(_CENT, rounding=ROUND_HALF_UP)


def nearest_halves(sixths: int | None) -> int | None:
    """Return the nearest half point, in half points: 3.17 is a 3, 3.83 a 4, 1.17 a 1.

    A tie would need sixths / 3 to end in a half; whole numbers over 3 end in 0, 1/3 or 2/3, so
    there is none and no rule for one.
    """
    return None if sixths is None else (2 * sixths + 3) // 6


def shown(found: int) -> str:
    """Return half points as points with one place: 4.0."""
    return f"{Decimal(found) / 2:.1f}"


def shown_mean(sixths: int) -> str:
    """Return an overall with two places: 4.17."""
    return f"{mean(sixths):.2f}"


def every_half(key: str) -> Iterable[int]:
    """Return every score of a scale, in half points, lowest first."""
    scale = of(key)
    return range(scale.low, scale.high + 1)
