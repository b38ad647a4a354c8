"""The stage of life of an animal on a day: foal, weanling, yearling, youngster, adult or aged.

By completed calendar months from birth, and by the day a foal was weaned. A birth known by its year
only is a range of ages, so perhaps of stages; a birth not known is said to be not known. Ages and
their sources, by species: ``fixtures/life_stages.json``, mostly terms of the trade.
"""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cache

from yards.rules import fixture, identity


class Stage(StrEnum):
    """A stage of life, in its order; UNKNOWN where no birth is known."""

    FOAL = "foal"
    WEANLING = "weanling"
    YEARLING = "yearling"
    YOUNGSTER = "youngster"
    ADULT = "adult"
    AGED = "aged"
    UNKNOWN = "unknown"


GROWING = frozenset({Stage.FOAL, Stage.WEANLING, Stage.YEARLING, Stage.YOUNGSTER})


class UnknownSpecies(ValueError):
    """A species that has no stages; the message names those that have."""


class OutOfOrder(ValueError):
    """A latest birth before the earliest; the message names the field and the range."""


@dataclass(frozen=True, slots=True)
class LifeStage:
    """The stage if born on the earliest day that the birth can mean, and if on the latest.

    ``months_most`` and ``months_least`` are the two ages in completed months, None when unknown.
    ``source`` and ``confidence`` are those of the older stage.
    """

    if_older: Stage
    if_younger: Stage
    months_most: int | None = None
    months_least: int | None = None
    source: str = ""
    confidence: str = ""

    @property
    def is_sure(self) -> bool:
        """Return whether the birth is known well enough to name one stage."""
        return self.if_older is self.if_younger is not Stage.UNKNOWN


@dataclass(frozen=True, slots=True)
class _Row:
    stage: Stage
    from_months: int
    source: str
    confidence: str


@cache
def _rows(species: str) -> tuple[_Row, ...]:
    """Return the stages of a species, the oldest first."""
    found = [
        _Row(Stage(row["stage"]), row["from_months"], row["source"], row["confidence"])
        for row in fixture.load("life_stages")["rows"]
        if species in row["species"]
    ]
    return tuple(sorted(found, key=lambda row: -row.from_months))


def life_stage(
    species: str,
    earliest: date | None,
    on: date,
    *,
    latest: date | None = None,
    weaned_on: date | None = None,
) -> LifeStage:
    """Return the stage on a day of one born between two days; without ``latest`` on the first.

    ``weaned_on`` is the day that it was weaned itself. A day before the birth counts as the birth:
    somewhere it may be the day before. Raises UnknownSpecies, and OutOfOrder for a ``latest`` that
    lies before ``earliest``.
    """
    rows = _rows(species)
    if not rows:
        known = ", ".join(sorted({each for row in _data() for each in row["species"]}))
        raise UnknownSpecies(f"species: {species} is none of {known}")
    if earliest is None:
        return LifeStage(Stage.UNKNOWN, Stage.UNKNOWN)
    if latest is not None and latest < earliest:
        raise OutOfOrder(f"latest: {latest} lies before {earliest}; give that day or a later one")
    most = max(0, identity.months_between(earliest, on))
    least = max(0, identity.months_between(latest or earliest, on))
    is_weaned = weaned_on is not None and weaned_on <= on
    older, younger = _row_at(rows, most, is_weaned), _row_at(rows, least, is_weaned)
    return LifeStage(older.stage, younger.stage, most, least, older.source, older.confidence)


def _data() -> list[dict[str, list[str]]]:
    rows: list[dict[str, list[str]]] = fixture.load("life_stages")["rows"]
    return rows


def _row_at(rows: tuple[_Row, ...], months: int, is_weaned: bool) -> _Row:
    found = next(row for row in rows if row.from_months <= months)
    if found.stage is Stage.FOAL and is_weaned:
        return next(row for row in rows if row.stage is Stage.WEANLING)
    return found
