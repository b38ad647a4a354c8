"""The target band of one animal on one day: low, aim and high, in points, and why.

The edges hang on species, use, life stage and breeding state (``band_class``); the season never
moves them. Only the aim moves, smoothly, always at least a quarter point inside both edges: leanest
on the day before spring, fullest three calendar months before that. By the calendar's seasons these
are the last days of winter and of autumn. A yard's own spring moves both with it, so that the fall
always has a winter's length: its fullest day may then lie off the autumn that a label names (our
choice). Sources differ on whether every horse should swing; the default swing is half a point on
0-5 (one on 1-9) where the band leaves room. Data with sources and confidence:
``fixtures/bands.json``.
"""

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import ROUND_HALF_UP, Decimal
from functools import cache, lru_cache

from scoring.rules import band_class, checked
from scoring.rules import scale as scales
from scoring.rules.band_facts import Facts, Override
from scoring.rules.finding import Message
from yards.rules import fixture, seasons

BELOW, WITHIN, ABOVE = "below", "within", "above"
PLACES = (BELOW, WITHIN, ABOVE)
INSIDE = Decimal("0.25")
NARROWEST = INSIDE * 2
_CENT = Decimal("0.01")
# Three calendar months of winter stand before the first day of spring.
_WINTER_MONTHS = 3


@dataclass(frozen=True, slots=True)
class Band:
    """Low, aim and high in points on one scale, to two places, and where they come from.

    ``key`` names the class of animal, "vet" for a vet's own band. ``why`` are message keys: what
    chose the edges, then what moved the aim. ``confidence`` is of the row: read, secondary, memory
    or vet.
    """

    scale: str
    key: str
    low: Decimal
    aim: Decimal
    high: Decimal
    source: str
    confidence: str
    why: tuple[Message, ...] = ()


@cache
def _rows() -> dict[tuple[str, str], dict[str, str]]:
    return {(row["class"], row["scale"]): row for row in fixture.load("bands")["rows"]}


def band(facts: Facts, on: date, scale: str | None = None, now: datetime | None = None) -> Band:
    """Return the band of an animal on a local date, on its usual scale or another it may have.

    A vet's override stands until it ends at ``now`` (without ``now`` it stands), and only on the
    species' usual scale, which it is given on. Raises ValueError for a scale not for the species,
    OutOfRange for a day without neighbouring years, a ``now`` without its zone, and an override off
    its scale.
    """
    seasons.with_neighbours(on)
    if now is not None and now.tzinfo is None:
        raise checked.OutOfRange("now", "an instant with its zone")
    key = scale or scales.usual_for(facts.species)
    if key not in scales.for_species(facts.species):
        raise ValueError(f"no band for a {facts.species} on {key}")
    is_usual = key == scales.usual_for(facts.species)
    if facts.override is not None and is_usual and _stands(facts.override, now):
        return _of_vet(facts.override, key, facts, on)
    found, why = band_class.of(facts, on)
    row = _rows()[found, key]
    low, high = Decimal(row["low"]), Decimal(row["high"])
    aim, moved = _aim(low, high, Decimal(row["swing"]), facts, on)
    return Band(key, found, low, aim, high, row["source"], row["confidence"], (*why, *moved))


def _stands(override: Override, now: datetime | None) -> bool:
    return now is None or now < override.until


def _of_vet(override: Override, key: str, facts: Facts, on: date) -> Band:
    own = scales.of(key)
    if override.low < own.low or override.high > own.high:
        ends = f"{own.low} to {own.high} half points"
        raise checked.OutOfRange("override", ends)
    low, high = Decimal(override.low) / 2, Decimal(override.high) / 2
    swing = Decimal("1.0") if key == scales.NINE else Decimal("0.5")
    aim, moved = _aim(low, high, swing, facts, on)
    return Band(key, "vet", low, aim, high, "vet", "vet", (Message("band_vet"), *moved))


def _aim(
    low: Decimal, high: Decimal, swing: Decimal, facts: Facts, on: date
) -> tuple[Decimal, tuple[Message, ...]]:
    """Return the aim, the middle moved by the season as the band leaves room, and what moved it."""
    room = max(high - low - 2 * INSIDE, Decimal(0))
    middle = (low + high) / 2
    height, season = _day_of_year(on, facts.hemisphere, facts.spring)
    aim = (middle + min(swing, room) / 2 * height).quantize(_CENT, rounding=ROUND_HALF_UP)
    if aim == middle:
        stands_still = swing and room and facts.hemisphere == seasons.NONE and facts.spring is None
        return aim, (Message("band_no_seasons"),) if stands_still else ()
    moved = "fuller" if aim > middle else "leaner"
    points = f"{abs(aim - middle):.2f}"
    held = seasons.spring_held(facts.hemisphere, facts.spring)
    own = {"spring_first": held.first, "spring_last": held.last} if held is not None else {}
    if season is None:
        # Near the equator, on a day that is not of the yard's own spring.
        return aim, (Message(f"band_aim_{moved}_by_own_spring", {"points": points, **own}),)
    told = {"season": str(season), "points": points, **own}
    return aim, (Message(f"band_aim_{moved}", told),)


# A board asks for many horses of one yard and day.
@lru_cache(maxsize=1024)
def _day_of_year(
    on: date, hemisphere: str, spring: seasons.Spring | None
) -> tuple[Decimal, seasons.Season | None]:
    """Return a day's height between the leanest and the fullest day, and its season."""
    height = Decimal(str(_height(on, hemisphere, spring)))
    return height, seasons.season(on, hemisphere, spring)


def _height(on: date, hemisphere: str, spring: seasons.Spring | None) -> float:
    """Return where a day stands between winter's end, -1, and autumn's end, 1; 0 in the tropics.

    Two half waves, which meet without a corner: up from winter's end to autumn's end, and down
    through the winter.
    """
    first = seasons.spring_began(on + timedelta(days=1), hemisphere, spring)
    coming = seasons.next_spring(on + timedelta(days=1), hemisphere, spring)
    if first is None or coming is None:
        return 0.0
    began, ends = first - timedelta(days=1), coming - timedelta(days=1)
    fullest = _months_before(coming, _WINTER_MONTHS) - timedelta(days=1)
    if on <= fullest:
        return -math.cos(math.pi * (on - began).days / (fullest - began).days)
    return math.cos(math.pi * (on - fullest).days / (ends - fullest).days)


def _months_before(day: date, months: int) -> date:
    month = day.month - months
    year = day.year if month > 0 else day.year - 1
    return date(year, (month - 1) % 12 + 1, min(day.day, 28))


def place(nearest_halves: int, found: Band) -> str:
    """Return where an overall, to the nearest half point, lies: below, within or above the band."""
    points = Decimal(nearest_halves) / 2
    if points < found.low:
        return BELOW
    return ABOVE if points > found.high else WITHIN


__all__ = [
    "ABOVE",
    "BELOW",
    "INSIDE",
    "NARROWEST",
    "PLACES",
    "WITHIN",
    "Band",
    "Facts",
    "Override",
    "band",
    "place",
]
