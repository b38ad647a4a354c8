"""A weigh tape or weighbridge as it comes in."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from yards.rules import plain
from yards.rules.fields import Reader

KINDS = ("weigh_tape", "weighbridge")
LABEL_MOST = 120


@dataclass(frozen=True, slots=True)
class InstrumentFacts:
    """A checked instrument; ``yard`` None serves the whole organisation."""

    id: UUID | None
    kind: str
    label: str
    yard: UUID | None

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset({"id"}))


def check(raw: object) -> InstrumentFacts:
    """Return an instrument, or raise Invalid naming every fault."""
    reader = Reader(raw)
    found = InstrumentFacts(
        id=reader.uuid("id"),
        kind=reader.choice("kind", KINDS, required=True),
        label=reader.text("label", most=LABEL_MOST, required=True),
        yard=reader.uuid("yard"),
    )
    reader.finish()
    return found
