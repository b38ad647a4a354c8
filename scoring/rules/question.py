"""A question to the vet as it comes in, its answer, and its being withdrawn."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from yards.rules import plain
from yards.rules.fields import Reader

TEXT_MOST = 2000
ANSWERED, WITHDRAWN = "answered", "withdrawn"
ENDS = (ANSWERED, WITHDRAWN)
OPEN = "open"
STATES = (OPEN, *ENDS)


@dataclass(frozen=True, slots=True)
class Said:
    """A checked question, answer or reason: an id of the client's, if any, and the words."""

    id: UUID | None
    text: str

    def content(self) -> dict[str, Any]:
        """Return what a replay must match."""
        return plain.content(self, without=frozenset({"id"}))


def check(raw: object, *, name: str = "text") -> Said:
    """Return what was said under a name, or raise Invalid naming every fault."""
    reader = Reader(raw)
    found = Said(reader.uuid("id"), reader.text(name, most=TEXT_MOST, required=True, lines=True))
    reader.finish()
    return found
