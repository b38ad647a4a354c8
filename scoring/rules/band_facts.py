"""What a target band hangs on: the animal, where it stands in life and breeding, its yard."""

from dataclasses import dataclass
from datetime import date, datetime

from yards.rules import allowed, horse, life_stage, seasons
from yards.rules import breeding as mares

BREEDING = ("", *horse.BREEDING)


@dataclass(frozen=True, slots=True)
class Override:
    """A vet's band for one horse, in half points, until an instant.

    Raises OutOfRange for edges the wrong way round, and for an end that names no zone.
    """

    low: int
    high: int
    until: datetime

    def __post_init__(self) -> None:
        if not 0 <= self.low < self.high:
            raise allowed.OutOfRange("override", "a high edge over a low one of 0 and over")
        if self.until.tzinfo is None:
            raise allowed.OutOfRange("until", "an instant with its zone")


@dataclass(frozen=True, slots=True)
class Facts:
    """What a band hangs on.

    ``born_earliest`` None is a birth not known: then an adult. ``born_latest`` is the last day that
    the birth can mean, None for the same day. ``breeding`` is the word on the record, ``happened``
    the breeding events in order; without any the word stands alone. Raises OutOfRange for a
    species, a use, a breeding state or a hemisphere that is none of its list.
    """

    species: str
    use: str
    breeding: str = ""
    born_earliest: date | None = None
    hemisphere: str = seasons.NORTH
    spring: seasons.Spring | None = None
    override: Override | None = None
    born_latest: date | None = None
    happened: tuple[mares.Happened, ...] = ()

    def __post_init__(self) -> None:
        allowed.one_of("species", self.species, horse.SPECIES)
        allowed.one_of("use", self.use, horse.USES)
        allowed.one_of("breeding", self.breeding, BREEDING)
        allowed.one_of("hemisphere", self.hemisphere, seasons.HEMISPHERES)

    def stage(self, on: date) -> life_stage.LifeStage:
        """Return the stage of life on a day."""
        weaned = [each.on for each in self.happened if each.kind == "weaned"]
        return life_stage.life_stage(
            self.species,
            self.born_earliest,
            on,
            latest=self.born_latest,
            weaned_on=min(weaned, default=None),
        )

    def bred(self, on: date) -> mares.Bred:
        """Return where a mare stands between covering and weaning on a day."""
        return mares.stands(self.species, self.breeding, self.happened, on)
