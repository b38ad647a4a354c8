"""Names beside readings: whose hand it was."""

from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True, slots=True)
class Hand:
    """The assessor of a reading."""

    id: UUID
    name: str
