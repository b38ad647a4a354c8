"""An animal's row as what readings of it must agree with."""

from scoring.rules import clocks
from yards.models import Horse
from yards.rules import identity


def subject(horse: Horse) -> clocks.Subject:
    """Return what readings and measures of a horse, its yard joined, must agree with."""
    return clocks.Subject(
        species=horse.species,
        born_earliest=horse.born_earliest,
        gone=horse.status if horse.ended_at is not None else "",
        gone_at=horse.ended_at,
        zone=horse.yard.time_zone,
        kind=horse.kind,
        sex=horse.sex,
        born_latest=identity.born(horse.born).latest if horse.born else None,
        height_cm=horse.height_cm,
        is_pregnant=horse.breeding == "pregnant",
    )
