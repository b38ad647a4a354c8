"""How an animal that nobody knew was described by whoever took it in."""

from dataclasses import dataclass
from datetime import datetime

from scoring.access import readings
from yards.queries.horses import HorseCard
from yards.rules.roles import Viewer


@dataclass(frozen=True, slots=True)
class Described:
    """The note that came with the first concern or score of an unknown animal."""

    text: str
    at: datetime


def described(viewer: Viewer, horse: HorseCard) -> Described | None:
    """Return the first description of an unknown animal; None of any other, and without one."""
    if not horse.is_unknown:
        return None
    readings.require_sight(viewer)
    kinds = (readings.concerns_in_scope(viewer), readings.assessments_in_scope(viewer))
    firsts = [
        found.filter(horse__ref=horse.ref).exclude(note="").order_by("corrected_at", "id").first()
        for found in kinds
    ]
    notes = [Described(each.note, each.corrected_at) for each in firsts if each is not None]
    return min(notes, key=lambda each: each.at, default=None)
