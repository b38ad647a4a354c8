"""What a target band hangs on: the animal, where it stands in life and breeding, its yard."""

from dataclasses import dataclass
from datetime import date, datetime

from yards.rules import breeding as mares
from yards.rules import life_stage, seasons


@dataclass(frozen=True, slots=True)
class Override:
    """A vet's band for one horse, in half points, until an instant."""

    low: int
    high: int
    until: datetime


@dataclass(frozen=True, slots=True)
class Facts:
    """What a band hangs on.

    ``born_earliest`` None is a birth not known: then an adult. ``born_latest`` is the last day that
    the birth can mean, None for the same day. ``breeding`` is the word on the record, ``happened``
    the breeding events in order; without any the word stands alone.
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
