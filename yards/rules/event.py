"""What happens to a horse besides readings, and what it changes in the animal's facts."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from yards.rules import plain
from yards.rules.fields import Reader, given

AHEAD = timedelta(minutes=5)
NOTE_MOST = 500
KINDS = (
    "arrived",
    "left",
    "returned",
    "covered",
    "found_in_foal",
    "found_empty",
    "foaled",
    "weaned",
    "gelded",
    "clipped",
    "rugged",
    "wormed",
    "vaccinated",
    "feet_trimmed",
    "shod",
    "teeth_seen_to",
    "vet_visited",
    "vet_phoned",
    "looked_in_on",
    "rehomed",
    "died",
)
# Those that count as somebody having been with the horse.
VET_VISITED = "vet_visited"
VISITS = (VET_VISITED, "looked_in_on")
OF_MARES = frozenset({"covered", "found_in_foal", "found_empty", "foaled"})
GONE: Mapping[str, str] = {"rehomed": "rehomed", "died": "dead"}


@dataclass(frozen=True, slots=True)
class EventFacts:
    """A checked event, at an instant in UTC."""

    id: UUID | None
    kind: str
    at: datetime
    note: str

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset({"id"}))


def check(
    raw: object, *, now: datetime, sex: str = "", born_earliest: date | None = None
) -> EventFacts:
    """Return an event, or raise Invalid: in the future, before birth, a male that foals."""
    reader = Reader(raw)
    ref = reader.uuid("id")
    kind = reader.choice("kind", KINDS, required=True)
    at = reader.instant("at", required=True)
    note = reader.text("note", most=NOTE_MOST, lines=True)
    if at is not None and at > now + AHEAD:
        reader.refuse("at", "in_the_future")
    # A day of grace: somewhere it was already the birthday.
    if at and born_earliest and at.date() + timedelta(days=1) < born_earliest:
        reader.refuse("at", "before_birth")
    if kind in OF_MARES and sex in ("gelding", "stallion"):
        reader.refuse("kind", "only_of_mares")
    if kind == "gelded" and sex == "mare":
        reader.refuse("kind", "never_of_mares")
    reader.finish()
    return EventFacts(ref, kind, given(at), note)


def changes(kind: str, *, sex: str = "", breeding: str = "") -> Mapping[str, str]:
    """Return what an event changes in the animal's facts, by column; most change nothing.

    ``rehomed`` and ``died`` end the record: the time of the event is the end. ``weaned`` changes
    a mare in milk only; recorded of the foal it changes nothing.
    """
    if kind == "weaned" and sex == "mare" and breeding == "lactating":
        return {"breeding": "empty"}
    return _CHANGES.get(kind, {})


_CHANGES: Mapping[str, Mapping[str, str]] = {
    "left": {"status": "away"},
    "returned": {"status": "present"},
    "covered": {"breeding": "covered"},
    "found_in_foal": {"breeding": "pregnant"},
    "found_empty": {"breeding": "empty"},
    "foaled": {"breeding": "lactating"},
    "gelded": {"sex": "gelding"},
    "rehomed": {"status": "rehomed"},
    "died": {"status": "dead"},
}
